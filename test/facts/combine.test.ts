/** What stuck to emptied vessels: shared out exactly, taken down by a rinse, carried on from vessel to vessel. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import { contentOf, stuckOf } from '../../src/facts/combine.ts';
import type { Happened, WeighedBack } from '../../src/facts/fact.ts';
import { type Mass, mass, plus, sumOf, ZERO } from '../../src/mass/mass.ts';
import { aDraw, aPlan, aStep, g, placing, sealed, weighing } from '../weighing/samplePlan.ts';

const flour = aDraw('A1', { vessel: 'jar', on: 'jar' });
const oats = aDraw('A2', { vessel: 'jar', on: 'jar' });
const water = aDraw('B1', { vessel: 'beaker', on: 'beaker' });
const toBeaker = aStep('B2', 'combine', { vessel: 'jar', into: 'beaker' });
const wipe = aStep('B3', 'rinse', { vessel: 'jar', into: 'beaker' });
const toBowl = aStep('C1', 'combine', { vessel: 'beaker', into: 'bowl' });
const plan = aPlan([flour, oats, water, toBeaker, wipe, toBowl]);

const back = (vessel: string, empty: Mass, residue: Mass): WeighedBack => ({
  vessel,
  scale: 'bench',
  load: plus(empty, residue),
  residue,
  uncertainty: g(0.16),
});
const done = (step: string, weighedBack?: WeighedBack): Happened => ({
  kind: 'step-done',
  step,
  bursts: 0,
  weighedBack,
});
const weighed = (flourNet: Mass, oatsNet: Mass, waterNet: Mass): Happened[] => [
  { kind: 'batch-started', plan },
  placing(flour, g(60)),
  weighing(flour, g(60), flourNet),
  placing(oats, plus(g(60), flourNet)),
  weighing(oats, plus(g(60), flourNet), oatsNet),
  placing(water, g(150)),
  weighing(water, g(150), waterNet),
];

describe('emptied and weighed back', () => {
  it('the residue is shared as if evenly mixed, and goes on missing downstream', () => {
    const state = stateOf(
      sealed([
        ...weighed(g(90), g(30), g(200)),
        done('B2', back('jar', g(60), g(4))),
        done('B3', back('jar', g(60), g(1))),
        done('C1', back('beaker', g(150), g(3.19))),
      ]),
    );
    expect(state.clinging.jar?.shares).toEqual({ A1: g(0.75), A2: g(0.25) });
    // In the beaker were 200 + 89.25 + 29.75 = 319 g, of which 3.19 g stuck: a hundredth of each.
    expect(state.clinging.beaker?.shares).toEqual({ A1: g(0.8925), A2: g(0.2975), B1: g(2) });
    expect(contentOf(state, 'bowl')).toBe(g(320 - 1 - 3.19));
    expect(stuckOf(state, 'A1')).toBe(g(0.75 + 0.8925));
    expect(state.vessels.bowl).toMatchObject({ load: g(300 + 320 - 1 - 3.19), certain: false });
    expect(state.vessels.jar).toMatchObject({ load: g(61), empty: g(60), holds: [] });
  });

  it('not weighed back: nothing is made up', () => {
    const state = stateOf(sealed([...weighed(g(90), g(30), g(200)), done('B2'), done('B3')]));
    expect(state.clinging).toEqual({});
    expect(state.vessels.jar).toBeUndefined();
    expect(contentOf(state, 'beaker')).toBe(g(320));
  });

  it('given up: what stuck on the way is forgotten with it', () => {
    const state = stateOf(
      sealed([
        ...weighed(g(90), g(30), g(200)),
        done('B2', back('jar', g(60), g(4))),
        { kind: 'given-up', vessel: 'beaker', draws: ['A1', 'A2', 'B1'], reason: 'fell' },
      ]),
    );
    expect(state.clinging).toEqual({});
  });

  it('used again: what stuck to it the first time stays missing, and a rinse brings back only what stuck last', () => {
    const again = aDraw('C2', { vessel: 'jar', on: 'jar' });
    const toBeakerAgain = aStep('C3', 'combine', { vessel: 'jar', into: 'beaker' });
    const wipeAgain = aStep('C4', 'rinse', { vessel: 'jar', into: 'beaker' });
    const twice = aPlan([flour, oats, water, toBeaker, again, toBeakerAgain, wipeAgain]);
    const facts: Happened[] = [
      { kind: 'batch-started', plan: twice },
      ...weighed(g(90), g(30), g(200)).slice(1),
      done('B2', back('jar', g(60), g(4))),
      placing(again, g(64)),
      weighing(again, g(64), g(50)),
    ];
    const emptiedTwice = [...facts, done('C3', back('jar', g(64), g(1)))];
    const state = stateOf(sealed(emptiedTwice));
    expect(contentOf(state, 'beaker')).toBe(g(320 - 4 + 50 - 1));
    expect([stuckOf(state, 'A1'), stuckOf(state, 'A2'), stuckOf(state, 'C2')]).toEqual([g(3), g(1), g(1)]);
    const wiped = stateOf(sealed([...emptiedTwice, done('C4', back('jar', g(64), g(0.2)))]));
    expect(contentOf(wiped, 'beaker')).toBe(g(320 - 4 + 50 - 0.2));
    const thrown: Happened = { kind: 'given-up', vessel: 'jar', draws: ['C2'], reason: 'over' };
    const givenUp = stateOf(sealed([...facts, thrown]));
    expect(contentOf(givenUp, 'beaker'), 'what stuck goes into the bin; it was not in the beaker').toBe(g(316));
  });

  it('whatever sticks where, bowl and residues add up to what was weighed', () => {
    const amount = fc.integer({ min: 1, max: 500_000_000 }).map(mass);
    const share = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, share, share, share, (a, b, c, sticks, wiped, sticksAgain) => {
        const first = mass(Math.round((a + b) * sticks));
        const second = mass(Math.round(first * wiped));
        const inBeaker = a + b + c - second;
        const third = mass(Math.round(inBeaker * sticksAgain));
        const state = stateOf(
          sealed([
            ...weighed(a, b, c),
            done('B2', back('jar', g(60), first)),
            done('B3', back('jar', g(60), second)),
            done('C1', back('beaker', g(150), third)),
          ]),
        );
        expect(contentOf(state, 'bowl')).toBe(a + b + c - second - third);
        const stuck = sumOf(['A1', 'A2', 'B1'].map((id) => stuckOf(state, id)));
        expect(stuck).toBe(second + third);
        expect(sumOf(Object.values(state.clinging).map(({ residue }) => residue))).toBe(stuck);
        for (const { shares } of Object.values(state.clinging)) {
          for (const each of Object.values(shares)) expect(each).toBeGreaterThanOrEqual(ZERO);
        }
      }),
    );
  });
});
