import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { apply, planned } from '../../src/facts/apply.ts';
import type { Happened, ScaleStanding } from '../../src/facts/fact.ts';
import { isDone, notNeeded } from '../../src/facts/isDone.ts';
import { nextTask, wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import {
  AT,
  aDraw,
  aPlan,
  BATCH,
  combine,
  dye,
  firstBag,
  g,
  melt,
  oil,
  placing,
  sealed,
  secondBag,
  weighing,
} from '../weighing/samplePlan.ts';

const first = aDraw('A1');
const state = (happened: readonly Happened[], tasks = aPlan().tasks) =>
  sealed(happened).reduce(apply, planned(BATCH, aPlan(tasks)));
/** The first bag gave so much. */
const bagGave = (net: Mass) => state([placing(firstBag, g(400)), weighing(firstBag, g(400), net, { lotEnded: true })]);

describe('what a draw must weigh', () => {
  it('is what the plan says, for a draw out of one lot', () => {
    expect(wanted(state([]), first)).toEqual({ target: g(100), low: g(98), high: g(102) });
  });

  // The whole: 200 g (196 to 204), of which the first bag should hold 80 g (76 to 84).
  it.each([
    { gave: g(80), target: g(120), low: g(116), high: g(124) },
    { gave: g(61.3), target: g(138.7), low: g(134.7), high: g(142.7) },
    { gave: g(84), target: g(116), low: g(112), high: g(120) },
    { gave: ZERO, target: g(200), low: g(196), high: g(204) },
  ])('is what the first bag left over, for the last: $gave', ({ gave, ...left }) => {
    expect(wanted(bagGave(gave), secondBag)).toEqual(left);
  });

  it('is the bag itself, for the first', () => {
    expect(wanted(state([]), firstBag)).toEqual({ target: g(80), low: g(76), high: g(84) });
  });

  const group = { group: 'A2', of: 3, target: g(200), low: g(196), high: g(204) };
  const three = [1, 2, 3].map((index) =>
    aDraw(`A2.${index}`, { target: g(70), low: g(66), high: g(74), part: { ...group, index } }),
  );
  const afterFirst = (net: Mass) => {
    const [bag] = three;
    return state(bag ? [placing(bag, g(300)), weighing(bag, g(300), net)] : [], three);
  };

  it.each([
    { gave: g(70), is: { target: g(70), low: g(66), high: g(74) } },
    { gave: g(132), is: { target: g(68), low: g(64), high: g(72) } },
    { gave: g(150), is: { target: g(50), low: g(46), high: g(54) } },
  ])('never goes past the whole, for one in the middle after $gave', ({ gave, is }) => {
    const middle = three[1];
    expect(middle && wanted(afterFirst(gave), middle)).toEqual(is);
  });

  it.each([
    { gave: g(195.9), needed: true },
    { gave: g(196), needed: false },
    { gave: g(210), needed: false },
  ])('a later part is needed only while the whole is under: $gave', ({ gave, needed }) => {
    const after = afterFirst(gave);
    expect(three.map((draw) => notNeeded(after, draw))).toEqual([false, !needed, !needed]);
  });
});

describe('the next task', () => {
  it('is the first of the plan that is not done', () => {
    const walk: Happened[] = [];
    const next = () => nextTask(state(walk))?.id;
    const does = (...happened: Happened[]) => walk.push(...happened);

    expect(next()).toBe('A1');
    does(placing(first, g(300)));
    expect(next()).toBe('A1');
    does(weighing(first, g(300), g(100)));
    expect(next()).toBe('A2.1');
    does(weighing(firstBag, g(400), g(50), { lotEnded: true }));
    expect(next()).toBe('A2.2');
    does(weighing(secondBag, g(450), g(150)));
    expect(next()).toBe(dye.id);
    does(placing(dye, g(80)), weighing(dye, g(80), g(0.8)));
    expect(next()).toBe(melt.id);
    does({ kind: 'step-begun', step: melt.id, burst: 1 });
    expect(next()).toBe(melt.id);
    does({ kind: 'step-done', step: melt.id, bursts: 1 });
    expect(next()).toBe(combine.id);
    does({ kind: 'given-up', vessel: 'bowl', draws: ['A1'], reason: 'fell' });
    expect(next()).toBe('A1');
  });

  it('is the same cup until it was tipped', () => {
    const nextAfter = (...more: Happened[]) =>
      nextTask(state([placing(oil, g(30)), weighing(oil, g(30), g(5)), ...more], [oil, combine]))?.id;
    expect(nextAfter()).toBe('C1');
    expect(nextAfter({ kind: 'tipped', draw: 'C1', vessel: 'bowl', residue: ZERO, deviation: null })).toBe('B2');
  });

  it('is none when all is done, and a part that is not needed counts as done', () => {
    const all = state([placing(firstBag, g(300)), weighing(firstBag, g(300), g(199))], [firstBag, secondBag]);
    expect(isDone(all, secondBag)).toBe(true);
    expect(nextTask(all)).toBeUndefined();
  });
});

describe('a band on a scale that was checked', () => {
  const standing = (change: Partial<ScaleStanding>): Happened => ({
    kind: 'scales-stand',
    scales: { bench: { checkedAt: AT, passed: true, slopePpm: null, repeatability: null, ...change } },
  });
  // 100 g, 98 to 102 g, d = 0.1 g, s = 0.05 g: planned with U = 0.163 g, no guard as U is under a third of 2 g.
  it.each([
    ['never checked', {}],
    ['better than planned', { repeatability: g(0.01), slopePpm: 100 }],
    ['worse, but small against the band', { repeatability: g(0.2), slopePpm: 1000 }],
  ])('is as planned: %s', (_, change) => {
    expect(wanted(state([standing(change)]), first)).toEqual({ target: g(100), low: g(98), high: g(102) });
  });

  it('moves in by the whole of U once that is more than a third of the half-band (JCGM 106)', () => {
    // s = 0.3 g: U = 2 sqrt(2 (0.1^2 / 12 + 0.3^2)) = 0.853 g, more than 0.667 g; inward to the next tenth.
    const band = wanted(state([standing({ repeatability: g(0.3) })]), first);
    expect(band).toEqual({ target: g(100), low: g(98.9), high: g(101.1) });
  });

  it('always leaves about an interval each side of the target, however bad the scale is', () => {
    const band = wanted(state([standing({ slopePpm: 500_000, passed: false })]), first);
    expect(band).toEqual({ target: g(100), low: g(99.9), high: g(100.1) });
  });

  it('never is wider than planned, has its target in it, and does not widen as the scale gets worse', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 100_000 }), fc.integer({ min: 0, max: 2_000_000 }), (slopePpm, s) => {
        const at = (ppm: number) => wanted(state([standing({ slopePpm: ppm, repeatability: mass(s) })]), first);
        const [band, worse] = [at(slopePpm), at(slopePpm + 1000)];
        expect(band.low).toBeGreaterThanOrEqual(first.low);
        expect(band.high).toBeLessThanOrEqual(first.high);
        expect(band.low).toBeLessThanOrEqual(band.target);
        expect(band.high).toBeGreaterThanOrEqual(band.target);
        expect(worse.low).toBeGreaterThanOrEqual(band.low);
        expect(worse.high).toBeLessThanOrEqual(band.high);
      }),
    );
  });

  it('is of today when the check is of the same day, by the clock on the wall', () => {
    const today = (checkedAt: string | null) => state([standing({ checkedAt })]).scales.bench?.today;
    expect(today(AT)).toBe(true);
    expect(today(`2001${AT.slice(4)}`)).toBe(false);
    expect(today(null)).toBe(false);
  });
});
