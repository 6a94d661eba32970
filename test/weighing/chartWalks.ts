/** Walks to each state of the weighing chart, and the check of a table that says where things lead from there. */
import { expect, it } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import type { Plan } from '../../src/plan/model.ts';
import type { WeighingEvent } from '../../src/weighing/events.ts';
import { abandon, giveUp, lotEnded, pan, type Rig, startChart, stop, yes } from './chartRig.ts';
import { aDraw, aPlan, g, melt, oil, placing, weighing } from './samplePlan.ts';

export const gathered: Happened = { kind: 'gathered' };
export const add = aDraw('A1');
/** The vessel stands there already: the next draw begins at once. */
export const next: Partial<Happened> = { kind: 'placed', draw: 'A2.1' };

/** A walk up to a state: the plan's tasks, what the log says, what happens then. */
export interface Walk {
  readonly tasks?: Plan['tasks'];
  readonly log: readonly Happened[];
  readonly events?: readonly WeighingEvent[];
}

export const begun: Walk = {
  log: [gathered, placing(add, g(300))],
  events: [pan.empties('bench'), pan.settles('bench', 300)],
};
export const onBench = (walk: Walk, ...more: WeighingEvent[]): Walk => ({
  ...walk,
  events: [...(walk.events ?? []), ...more],
});
export const cupBegun: Walk = {
  tasks: [oil],
  log: [gathered, placing(oil, g(30))],
  events: [pan.empties('fine'), pan.settles('fine', 30)],
};
export const cupFull: Walk = {
  tasks: [oil],
  log: [gathered, placing(oil, g(30)), weighing(oil, g(30), g(5))],
  events: [pan.settles('fine', 35), pan.empties('fine')],
};
export const stepOf = (change: Partial<typeof melt> = {}, ...log: Happened[]): Walk => ({
  tasks: [{ ...melt, ...change }],
  log: [gathered, ...log],
});
export const melting: Happened = { kind: 'step-begun', step: 'A3', burst: 1 };

export const walks = {
  gathering: { log: [] },
  placing: { log: [gathered], events: [pan.empties('bench')] },
  'pouring.under': begun,
  'pouring.moving': onBench(begun, pan.moves('bench')),
  'pouring.inBand': onBench(begun, pan.moves('bench'), pan.settles('bench', 400.5)),
  'hold.open': onBench(begun, pan.moves('bench'), pan.settles('bench', 405)),
  short: onBench(begun, pan.moves('bench'), pan.settles('bench', 350), lotEnded),
  'tipping.waiting': cupFull,
  'tipping.clean': onBench(cupFull, pan.settles('fine', 30.05)),
  'tipping.clinging': onBench(cupFull, pan.settles('fine', 30.9)),
  givingUp: onBench(begun, pan.moves('bench'), pan.settles('bench', 405), giveUp),
  'step.ready': stepOf(),
  'step.running': stepOf({}, melting),
  'step.rung': { ...stepOf({}, melting), events: [yes] },
  blind: { log: [gathered], events: [pan.isSilent('bench')] },
  paused: onBench(begun, stop),
  abandoning: onBench(begun, stop, abandon),
} satisfies Record<string, Walk>;

export async function walkTo({ tasks, log, events = [] }: Walk): Promise<Rig> {
  const rig = await startChart(log, tasks ? aPlan(tasks) : aPlan());
  await rig.tell(...events);
  return rig;
}

export interface Row {
  readonly why: string;
  readonly from: keyof typeof walks | Walk;
  readonly when: readonly WeighingEvent[];
  readonly to: string;
  /** What is written, in order, as far as it matters here. */
  readonly writes?: readonly Partial<Happened>[];
}

/** One test for each row. */
export function check(state: string, rows: readonly Row[]): void {
  it.each(rows)(`${state}: $why`, async ({ from, when, to, writes = [] }) => {
    const rig = await walkTo(typeof from === 'string' ? walks[from] : from);
    const before = rig.written.length;
    await rig.tell(...when);
    expect(rig.written.slice(before)).toEqual(writes.map((each) => expect.objectContaining(each)));
    if (to !== 'recording') expect(rig.state).toBe(to);
  });
}
