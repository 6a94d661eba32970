/** Records of many kinds, for what must hold of every record. */

import type { Fact, Happened, PourTrace } from '../../src/facts/fact.ts';
import { mass, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { type BatchRecord, batchRecord } from '../../src/records/record/batchRecord.ts';
import { rescuedBy } from '../../src/rescue/accepting.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { aBar, barsBegin, sampleBars } from '../facts/sampleBars.ts';
import { aPart, weighedByTwo } from '../facts/twoBenches.ts';
import { BATCH_DAY, demo, demoFormula, planOf } from '../plan/fixtures.ts';
import { walkOn, walkTo } from '../rescue/walkTo.ts';
import * as other from '../weighing/samplePlan.ts';
import { g, planned, sampleHappened, samplePlan, sealed, weighed } from './sampleFacts.ts';

export const seal = { seq: 34, hash: '3f9a'.repeat(16) };

export function recordOf(facts: readonly Fact[]): BatchRecord {
  return batchRecord(facts, seal);
}

type Weighed = Happened & { kind: 'weighed' };

/** A trace such as this draw may have left. */
export function traceOf({ net, takenBack, way }: Weighed): PourTrace {
  const peak = mass(net + takenBack);
  const some = [0, 400, 2000, 3400, 4000, 5200, 6100, 8000];
  const parts = [0, 0.02, 0.6, 0.97, 1, 1].map((part) => mass(Math.round(part * peak)));
  return { midway: way === 'subtract', ms: some, net: [...parts, net, net] };
}

/** All weights with traces, but for those keyed in. */
export function traced<T extends Happened>(happened: readonly T[]): T[] {
  return happened.map((each) =>
    each.kind === 'weighed' && each.how !== 'keyed' ? { ...each, trace: traceOf(each) } : each,
  );
}

/** Bars of a whole batch, one of them far off. */
function manyBars(): Happened[] {
  const bars = Array.from({ length: 24 }, (_, index) => {
    return aBar(
      index + 1,
      index === 11 ? 77.4 : 75 + Math.round(6 * Math.sin(7.1 * index)) / 10,
      index === 11 ? 'over' : 'in',
    );
  });
  return [barsBegin, ...bars, { kind: 'portioning-ended' }];
}

/** The demo batch, in which too much glycerin can't be taken back, so that the batch grows. */
export function rescuedFacts(): readonly Fact[] {
  const net = g(60);
  const come = walkTo(planOf(demo, demoFormula), 'B2', net);
  const held = { draw: 'B2', net };
  const used = stockUsed(come.facts, demo);
  const input = { workshop: demo, formula: demoFormula, state: come.state, held, used, today: BATCH_DAY };
  const offer = planRescue(input).offers.find(({ bars, wholeBars }) => wholeBars && bars === 26);
  if (!offer) throw new Error('no 26 bars');
  const said = [...come.facts, ...other.sealed([rescuedBy(offer, held)], come.facts.length)];
  const nets = ({ id }: { id: string }) => (id === 'B2' ? { net: g(60.1) } : undefined);
  const { facts } = walkOn(said, null, null, nets);
  const ended: Happened[] = [{ kind: 'measured', step: 'E/2', what: 'pH', value: '5.3' }, { kind: 'finished' }];
  return traced([...facts, ...other.sealed(ended, facts.length)]);
}

/** A batch of many draws, longer than a page. */
export function longFacts(count: number): Fact[] {
  const first = planned('A1');
  const draws: PlannedDraw[] = Array.from({ length: count }, (_, index) => ({ ...first, id: `A${index + 1}` }));
  const plan: Plan = { ...samplePlan, tasks: draws };
  return sealed([{ kind: 'batch-started', plan }, ...traced(draws.map(({ id }) => weighed(id, g(55.4), {}, plan)))]);
}

/** The sample with every name, reason and id replaced, with traces and bars. */
export function facedWith(text: string): Fact[] {
  const tasks = samplePlan.tasks.map((task) => {
    return task.kind === 'draw' ? { ...task, name: text, inci: text, lot: text } : { ...task, say: text };
  });
  const plan: Plan = {
    ...samplePlan,
    formula: { id: text, name: text, version: text },
    phases: samplePlan.phases.map((phase) => ({ ...phase, name: text })),
    vessels: Object.fromEntries(Object.entries(samplePlan.vessels).map(([id, of]) => [id, { ...of, name: text }])),
    tasks,
  };
  const happened = traced([...sampleHappened(plan), ...sampleBars()]).map((each) => {
    if ('say' in each) return { ...each, say: text };
    return 'reason' in each && each.reason !== null ? { ...each, reason: text } : each;
  });
  return sealed(happened, { batch: text, by: text });
}

const start: Happened = { kind: 'batch-started', plan: samplePlan };
const rest: PlannedDraw = { ...planned('A2'), id: 'A2.2', lot: 'SH-46', target: g(20), low: g(19), high: g(21) };

/** Every kind of record there is, by what is special in it. */
export const sampleRecords: Readonly<Record<string, () => BatchRecord>> = {
  'with an over-pour, a break, two lots, a keyed weight, a given-up vessel and a correction': () =>
    recordOf(sealed(sampleHappened())),
  'with traces, and bars weighed off and weighed again': () =>
    recordOf(sealed(traced([...sampleHappened(), ...sampleBars()]))),
  'with many bars': () => recordOf(sealed([...sampleHappened(), ...manyBars()])),
  'just begun': () => recordOf(sealed([start])),
  'with a cup that is not tipped': () => recordOf(sealed([start, weighed('E1', g(18.55))])),
  abandoned: () => recordOf(sealed([start, weighed('A1', g(55.4)), { kind: 'abandoned', reason: 'power cut' }])),
  'made larger by a rescue': () => recordOf(rescuedFacts()),
  'split between two lots': () =>
    recordOf(
      sealed([
        start,
        { kind: 'split', draw: 'A2', why: 'lot-ended', nothingYet: false, rest, newVessel: null },
        weighed('A2', g(54.2), { lotEnded: true }),
        { ...weighed('A2', g(20)), draw: 'A2.2', lot: 'SH-46' },
        { kind: 'zero-shifted', scale: 'bench', shift: g(0.3), draws: ['A2.2'] },
        { kind: 'measured', step: null, what: 'pH', value: '5.4' },
        { kind: 'step-begun', step: 'A3', burst: 1 },
        { kind: 'held', draw: 'A1', net: g(57), over: g(0.3) },
        { ...weighed('B2', g(0.75)), takenBack: ZERO, witness: 'Ida', coverage: 2.87 },
      ]),
    ),
  'of many draws': () => recordOf(longFacts(40)),
  'weighed at two benches': () => recordOf(weighedByTwo()),
  'of a part that belongs to another bench': () => recordOf(aPart(['C']).facts),
};
