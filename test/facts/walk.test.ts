/** Any walk through a batch: what the facts say is in each vessel is what was truly put there. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { apply, planned } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { nextTask, wanted } from '../../src/facts/wanted.ts';
import { type Mass, minus, plus, sumOf, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { aDraw, aPlan, BATCH, sampleTasks, sealed, ug, weighing } from '../weighing/samplePlan.ts';

/** One thing that the maker does at the bench, by chance; `part` says how much of it. */
const move = fc.record({ does: fc.nat(9), part: fc.double({ min: 0, max: 1, noNaN: true }) });
type Move = { readonly does: number; readonly part: number };

/** Vessels as they truly are. Each weighs a little otherwise than its label says. */
class Bench {
  readonly empty: Record<string, Mass>;
  readonly content: Record<string, Map<string, Mass>> = {};
  readonly #plan = aPlan();

  constructor() {
    const vessels = Object.values(this.#plan.vessels);
    this.empty = Object.fromEntries(vessels.map(({ id, tare }, index) => [id, plus(tare, ug(index * 7001))]));
    for (const { id } of vessels) this.content[id] = new Map();
    this.put('jar', 'stock', ug(20e6));
  }
  put(vessel: string, draw: string, amount: Mass): void {
    const content = this.in(vessel);
    content.set(draw, plus(content.get(draw) ?? ZERO, amount));
  }
  in(vessel: string): Map<string, Mass> {
    return this.content[vessel] ?? new Map();
  }
  load(vessel: string): Mass {
    return plus(this.empty[vessel] ?? ZERO, ...this.in(vessel).values());
  }
}

/** What the maker does next, done to the bench and told as facts. */
function act(state: BatchState, bench: Bench, { does, part }: Move): readonly Happened[] {
  const task = nextTask(state);
  if (!task) return [];
  if (task.kind === 'step') {
    const begun = state.steps[task.id]?.bursts ?? 0;
    if (task.forMs !== null && begun < 2 && does < 6) {
      return [{ kind: 'step-begun', step: task.id, burst: begun + 1 }];
    }
    if (task.step === 'combine' && task.vessel !== null && task.into !== null) {
      for (const [draw, amount] of bench.in(task.vessel)) bench.put(task.into, draw, amount);
      bench.in(task.vessel).clear();
    }
    return [{ kind: 'step-done', step: task.id, bursts: begun }];
  }
  const draw = state.draws[task.id];
  if (draw?.base == null) {
    const load = bench.load(task.on);
    return [{ kind: 'placed', draw: task.id, vessel: task.on, scale: task.scale, load, zero: ZERO, unusual: false }];
  }
  if (draw.status === 'weighed') return does === 0 ? throwAway(state, bench, task) : tip(bench, task, draw.net, part);
  if (does === 0) return throwAway(state, bench, task);
  if (does === 1) return [{ kind: 'held', draw: task.id, net: plus(wanted(state, task).high, ug(1e6)), over: ug(1e6) }];
  const { low, high } = wanted(state, task);
  const net = ug(low + part * (high - low) * (does === 2 ? 1.5 : 1)); // now and then kept although it is too much
  if (task.way === 'subtract') bench.put(task.on, 'stock', minus(ZERO, net));
  bench.put(task.way === 'subtract' ? task.vessel : task.on, task.id, net);
  return [weighing(task, draw.base, net, { target: wanted(state, task).target, low, high })];
}

function tip(bench: Bench, draw: PlannedDraw, net: Mass | null, part: number): readonly Happened[] {
  const residue = ug((net ?? 0) * part * 0.1);
  bench.put(draw.on, draw.id, minus(residue, net ?? ZERO));
  bench.put(draw.vessel, draw.id, minus(net ?? ZERO, residue));
  return [{ kind: 'tipped', draw: draw.id, vessel: draw.vessel, residue, deviation: null }];
}

/** What is in the cup, on the spoon or in the vessel goes into the bin. */
function throwAway(state: BatchState, bench: Bench, draw: PlannedDraw): readonly Happened[] {
  const amount = ug(state.draws[draw.id]?.net ?? 0.3e6);
  const discarded: Happened = { kind: 'discarded', draw: draw.id, lot: draw.lot, amount, reason: 'fell' };
  if (draw.way === 'subtract') bench.put(draw.on, 'stock', minus(ZERO, amount));
  if (draw.way !== 'subtract') bench.in(draw.on).clear();
  if (draw.way !== 'add') return [discarded];
  const draws = [...(state.vessels[draw.vessel]?.holds ?? []), draw.id];
  return [discarded, { kind: 'given-up', vessel: draw.vessel, draws, reason: 'fell' }];
}

function compare(state: BatchState, bench: Bench): void {
  for (const [id, vessel] of Object.entries(state.vessels)) {
    const truly = bench.in(id);
    const usual = state.plan.vessels[id]?.tare ?? ZERO;
    const wasOnPan = Object.values(state.plan.tasks).some((task) => task.kind === 'draw' && task.on === id);
    // A vessel that never stood on a pan is taken to weigh what its label says.
    const load = wasOnPan ? bench.load(id) : plus(usual, ...truly.values());
    expect({ id, load: vessel.load }).toEqual({ id, load });
    const ofDraws = [...truly].filter(([draw, amount]) => draw !== 'stock' && amount !== 0).map(([draw]) => draw);
    if (id !== 'cup') expect([...vessel.holds].sort()).toEqual(ofDraws.sort());
  }
}

const EARLY_CUP = aDraw('A0', {
  way: 'cup',
  scale: 'fine',
  on: 'cup',
  target: ug(4e6),
  low: ug(3.9e6),
  high: ug(4.1e6),
});
const plans = {
  'the sample batch': sampleTasks,
  'a cup into a bowl that stands on a pan before and after': [
    aDraw('A1'),
    EARLY_CUP,
    aDraw('A2'),
    ...sampleTasks.slice(3),
  ],
};

it.each(Object.entries(plans))('%s: loads and contents are what was truly put in', (_, tasks) => {
  fc.assert(
    fc.property(fc.array(move, { minLength: 30, maxLength: 120 }), (moves) => {
      const bench = new Bench();
      let state = planned(BATCH, aPlan(tasks));
      for (const each of moves) {
        state = sealed(act(state, bench, each), state.seq).reduce(apply, state);
        compare(state, bench);
      }
      const inBatch = Object.values(state.draws).map(({ bowl }) => bowl ?? ZERO);
      const inVessels = [...bench.in('bowl').values(), ...bench.in('beaker').values()];
      expect(sumOf(inBatch)).toBe(sumOf(inVessels));
    }),
    { seed: 7, numRuns: 150 },
  );
});

it('such walks come to their end', () => {
  const bench = new Bench();
  let state = planned(BATCH, aPlan());
  for (let moves = 0; moves < 30; moves++) {
    state = sealed(act(state, bench, { does: 9, part: 0.5 }), state.seq).reduce(apply, state);
  }
  expect(nextTask(state)).toBeUndefined();
});
