import { describe, expect, it } from 'vitest';
import { apply, planned, stateOf } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { ZERO } from '../../src/mass/mass.ts';
import {
  aDraw,
  aPlan,
  aStep,
  BATCH,
  combine,
  dye,
  g,
  melt,
  oil,
  placing,
  sealed,
  weighing,
} from '../weighing/samplePlan.ts';

const plan = aPlan();
const first = aDraw('A1');
const start = planned(BATCH, plan);
const stateAfter = (happened: readonly Happened[], from: BatchState = start): BatchState =>
  sealed(happened, from.seq).reduce(apply, from);

const whole = { status: 'done', base: g(300), peak: null, net: g(100), bowl: g(100), lotEnded: false, doubt: null };
const untouched = { status: 'open', base: null, peak: null, net: null, bowl: null, lotEnded: false, doubt: null };

describe('facts about the batch', () => {
  it('begins with every draw open, nothing on a pan, nothing gathered', () => {
    expect(start).toMatchObject({ gathered: false, steps: {}, vessels: {}, ended: 'open', seq: 0, lastAccepted: null });
    expect(Object.keys(start.draws)).toEqual(['A1', 'A2.1', 'A2.2', 'B1', 'C1']);
    expect(Object.values(start.draws)).toEqual(Array(5).fill(untouched));
  });

  it.each<[Happened['kind'], Happened, Partial<BatchState>]>([
    ['gathered', { kind: 'gathered' }, { gathered: true }],
    ['finished', { kind: 'finished' }, { ended: 'finished' }],
    ['abandoned', { kind: 'abandoned', reason: 'no time' }, { ended: 'abandoned' }],
    ['batch-started', { kind: 'batch-started', plan }, {}],
    ['resumed', { kind: 'resumed' }, {}],
    ['scale-lost', { kind: 'scale-lost', scale: 'fine', draw: 'B1', say: 'off' }, {}],
    ['scale-back', { kind: 'scale-back', scale: 'fine', draw: 'B1' }, {}],
    ['measured', { kind: 'measured', step: null, what: 'pH', value: '5.4' }, {}],
    ['corrected', { kind: 'corrected', corrects: 1, note: 'lot was X', reason: 'misread' }, {}],
  ])('%s changes only what it says', (_, happened, change) => {
    expect(stateAfter([happened])).toEqual({ ...start, ...change, seq: 1 });
  });

  it.each<Happened>([
    placing(aDraw('Z9'), g(300)),
    { kind: 'held', draw: 'Z9', net: g(1), over: g(1) },
    weighing(aDraw('Z9'), g(300), g(100)),
    { kind: 'tipped', draw: 'Z9', vessel: 'bowl', residue: ZERO, deviation: null },
    { kind: 'discarded', draw: 'Z9', lot: 'L', amount: g(1), reason: 'x' },
    { kind: 'step-begun', step: 'Z9', burst: 1 },
    { kind: 'step-done', step: 'Z9', bursts: 1 },
  ])('a $kind of something that the plan does not have changes nothing', (happened) => {
    expect(stateAfter([happened])).toEqual({ ...start, seq: 1 });
  });

  it('is worked out from a log that begins with the plan, and from no other', () => {
    const log = sealed([{ kind: 'batch-started', plan }, { kind: 'gathered' }]);
    expect(stateOf(log)).toEqual({ ...start, gathered: true, seq: 2 });
    expect(() => stateOf(log.slice(1))).toThrow('does not begin with its plan');
    expect(() => stateOf([])).toThrow('does not begin with its plan');
  });
});

describe('add', () => {
  it('notes what the vessel weighed when it was put on', () => {
    const state = stateAfter([placing(first, g(300.4))]);
    expect(state.draws.A1).toEqual({ ...untouched, base: g(300.4) });
    expect(state.vessels).toMatchObject({ bowl: { load: g(300.4), certain: true, holds: [] } });
  });

  it('notes the largest weight that was held as too much', () => {
    const state = stateAfter([placing(first, g(300)), { kind: 'held', draw: 'A1', net: g(103), over: g(1) }]);
    expect(state.draws.A1).toEqual({ ...untouched, base: g(300), peak: g(103) });
  });

  it('has it in the vessel once weighed', () => {
    const state = stateAfter([placing(first, g(300)), weighing(first, g(300), g(100))]);
    expect(state.draws.A1).toEqual(whole);
    expect(state.vessels.bowl).toMatchObject({ load: g(400), certain: true, holds: ['A1'] });
    expect(state.lastAccepted).toMatchObject({ draw: 'A1', net: g(100) });
  });

  it('given up with its vessel, begins anew from a vessel that is not known', () => {
    const second = aDraw('A2.1');
    const state = stateAfter([
      placing(first, g(300)),
      weighing(first, g(300), g(100)),
      placing(second, g(400)),
      { kind: 'discarded', draw: 'A2.1', lot: 'L', amount: g(30), reason: 'spilt' },
      { kind: 'given-up', vessel: 'bowl', draws: ['A1', 'A2.1'], reason: 'spilt' },
    ]);
    expect(state.draws.A1).toEqual(untouched);
    expect(state.draws['A2.1']).toEqual(untouched);
    expect(state.vessels).toMatchObject({});
  });
});

describe('subtract', () => {
  const jarOn = [placing(dye, g(80.02)), weighing(dye, g(80.02), g(0.8))];

  it('takes it out of the jar and has it in the vessel, whose weight is then a guess from its usual tare', () => {
    const state = stateAfter(jarOn);
    expect(state.draws.B1).toEqual({ ...untouched, status: 'done', base: g(80.02), net: g(0.8), bowl: g(0.8) });
    expect(state.vessels.jar).toMatchObject({ load: g(79.22), certain: true, holds: [] });
    expect(state.vessels.beaker).toMatchObject({ load: g(150.8), certain: false, holds: ['B1'] });
  });

  it('adds it to the weight of a vessel that has been on a pan', () => {
    const inBeaker = aDraw('A1', { vessel: 'beaker', on: 'beaker' });
    const state = stateAfter([placing(inBeaker, g(151)), ...jarOn], planned(BATCH, aPlan([inBeaker, dye])));
    expect(state.vessels.beaker).toMatchObject({ load: g(151.8), certain: true, holds: ['B1'] });
  });

  it('thrown away from the spoon: the jar is lighter by that, and the draw open', () => {
    const state = stateAfter([
      placing(dye, g(80)),
      { kind: 'discarded', draw: 'B1', lot: dye.lot, amount: g(0.9), reason: 'spilt' },
    ]);
    expect(state.draws.B1).toEqual(untouched);
    expect(state.vessels).toMatchObject({ jar: { load: g(79.1), certain: true, holds: [] } });
  });
});

describe('cup', () => {
  const inCup = [placing(oil, g(30)), weighing(oil, g(30), g(5))];

  it('is in the cup and not in the bowl once weighed', () => {
    const state = stateAfter(inCup);
    expect(state.draws.C1).toEqual({ ...untouched, status: 'weighed', base: g(30), net: g(5) });
    expect(state.vessels).toMatchObject({ cup: { load: g(35), certain: true, holds: [] } });
  });

  it('once tipped is in the bowl but for what stayed in the cup', () => {
    const bowlKnown = stateAfter([placing(first, g(300)), weighing(first, g(300), g(100)), ...inCup]);
    const state = stateAfter(
      [{ kind: 'tipped', draw: 'C1', vessel: 'bowl', residue: g(0.06), deviation: null }],
      bowlKnown,
    );
    expect(state.draws.C1).toMatchObject({ status: 'done', net: g(5), bowl: g(4.94) });
    expect(state.vessels.cup).toMatchObject({ load: g(30.06), certain: true, holds: [] });
    expect(state.vessels.bowl).toMatchObject({ load: g(404.94), certain: true, holds: ['A1', 'C1'] });
  });

  it('tipped without having been weighed is no fact to go by', () => {
    const tipped: Happened = { kind: 'tipped', draw: 'C1', vessel: 'bowl', residue: ZERO, deviation: null };
    expect(stateAfter([tipped])).toEqual({ ...start, seq: 1 });
  });

  it.each<[string, readonly Happened[]]>([
    ['before it was accepted', inCup.slice(0, 1)],
    ['after', inCup],
  ])('thrown away %s: the draw is open, and the cup may have been wiped', (_, before) => {
    const state = stateAfter([
      ...before,
      { kind: 'discarded', draw: 'C1', lot: oil.lot, amount: g(5), reason: 'fell' },
    ]);
    expect(state.draws.C1).toEqual(untouched);
    expect(state.vessels).toMatchObject({});
  });
});

describe('steps', () => {
  it('count their bursts from the facts, and keep the time of the last', () => {
    const begun = stateAfter([
      { kind: 'step-begun', step: melt.id, burst: 1 },
      { kind: 'step-begun', step: melt.id, burst: 2 },
    ]);
    expect(begun.steps).toEqual({ A3: { bursts: 2, begunAt: expect.any(String), done: false } });
    const done = stateAfter([{ kind: 'step-done', step: melt.id, bursts: 2 }], begun);
    expect(done.steps).toEqual({ A3: { ...begun.steps.A3, done: true } });
  });

  it('one vessel emptied into another: what it held moves, its weight is no longer known', () => {
    const state = stateAfter([
      placing(first, g(300)),
      weighing(first, g(300), g(100)),
      placing(dye, g(80)),
      weighing(dye, g(80), g(0.8)),
      { kind: 'step-done', step: combine.id, bursts: 0 },
    ]);
    expect(state.vessels.beaker).toBeUndefined();
    expect(state.vessels.bowl).toMatchObject({ load: g(400.8), certain: false, holds: ['A1', 'B1'] });
  });

  it('emptied into a vessel that was never on a pan: its usual tare is the best that is known', () => {
    const state = stateAfter([
      placing(dye, g(80)),
      weighing(dye, g(80), g(0.8)),
      { kind: 'step-done', step: combine.id, bursts: 0 },
    ]);
    expect(state.vessels.bowl).toMatchObject({ load: g(300.8), certain: false, holds: ['B1'] });
  });
});

describe('giving up a vessel', () => {
  it('opens its draws and the steps of their phases, and leaves other phases alone', () => {
    const rest = aStep('B3', 'rest');
    const state = stateAfter(
      [
        placing(first, g(300)),
        weighing(first, g(300), g(100)),
        { kind: 'step-done', step: 'A3', bursts: 1 },
        { kind: 'step-done', step: 'B3', bursts: 0 },
        { kind: 'given-up', vessel: 'bowl', draws: ['A1'], reason: 'fell' },
      ],
      planned(BATCH, aPlan([first, melt, rest])),
    );
    expect(state.steps).toEqual({ B3: expect.objectContaining({ done: true }) });
    expect(state.draws.A1).toEqual(untouched);
  });

  it('opens what other vessels brought into it, and the emptying itself, whatever phase that is in', () => {
    const pour = aStep('C0', 'combine', { vessel: 'beaker', into: 'bowl' });
    const state = stateAfter(
      [
        placing(first, g(300)),
        weighing(first, g(300), g(100)),
        placing(dye, g(80)),
        weighing(dye, g(80), g(0.8)),
        { kind: 'step-done', step: 'C0', bursts: 0 },
        { kind: 'given-up', vessel: 'bowl', draws: ['A1', 'B1'], reason: 'fell' },
      ],
      planned(BATCH, aPlan([first, dye, pour, oil])),
    );
    expect([state.draws.A1, state.draws.B1]).toEqual([untouched, untouched]);
    expect(state.steps).toEqual({});
    expect(state.vessels).toMatchObject({ jar: { load: g(79.2), certain: true, holds: [] } });
  });
});
