/**
 * The whole chart, walked through by generated paths: every state and every transition of its definition is reached,
 * and on the way nothing happens that must not.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { type AnyTransitionDefinition, createActor, SimulatedClock } from 'xstate';
import { apply, planned } from '../../src/facts/apply.ts';
import type { Fact } from '../../src/facts/fact.ts';
import type { Plan } from '../../src/plan/model.ts';
import { type Snapshot, stateName } from './chartRig.ts';
import { eventsOf, everyStep, type Step } from './everyStep.ts';
import { handedOver, type ModelEvent, machine, nameOf, RINGS, WRITTEN } from './modelBench.ts';
import { checkStep, checkSums } from './modelRules.ts';
import { aDraw, aPlan, BATCH, combine, dye, g, melt, rareTasks, sealed, withJar } from './samplePlan.ts';
import { statesOf, transitionsOf } from './transitions.ts';

/** Transitions that no path can take, each with the reason why the chart has it all the same. */
const NEVER_TAKEN: Readonly<Record<string, string>> = {};

/** One of everything, and what is rare in a plan of its own: together there would be too many states to walk through. */
const plans: readonly Plan[] = [
  aPlan(),
  aPlan(rareTasks),
  aPlan(withJar(aDraw('A1'))),
  aPlan([aDraw('A1'), dye, combine], { mass: g(101) }),
];

/** What was said before the chart begins: in the last plan the colour is weighed at another bench. */
function saidBefore(plan: Plan): readonly Fact[] {
  return sealed(plan === plans[3] ? [handedOver] : []);
}

const begun = (plan: Plan) => saidBefore(plan).reduce(apply, planned(BATCH, plan));

/** How the real chart went along a path: its last state, and the transitions that it took. */
interface Walked {
  readonly last: Snapshot;
  readonly taken: ReadonlySet<AnyTransitionDefinition>;
  readonly written: readonly Fact[];
}

/** Walks the real chart along a path, with the rules checked at each step. */
function walk(plan: Plan, events: readonly ModelEvent[]): Walked {
  const taken = new Set<AnyTransitionDefinition>();
  const written: Fact[] = [];
  const clock = new SimulatedClock();
  const actor = createActor(machine, {
    input: { batch: begun(plan) },
    clock,
    inspect: (seen) => {
      if (seen.type === '@xstate.microstep') for (const each of seen._transitions) taken.add(each);
    },
  });
  actor.start();
  let last = actor.getSnapshot();
  for (const event of events) {
    if (event.type === RINGS) clock.increment(melt.forMs ?? 0);
    else actor.send(event as never);
    if (event.type === WRITTEN && 'output' in event) written.push(...(event.output as readonly Fact[]));
    const after = actor.getSnapshot();
    checkStep(last, event, after);
    last = after;
  }
  return { last, taken, written };
}

/** The batch was abandoned, or that is being written. */
function isGivenUp({ context: { batch, pending } }: Snapshot): boolean {
  return batch.ended === 'abandoned' || pending.some(({ kind }) => kind === 'abandoned');
}

function kindOf({ before, event, after }: Step): string {
  return [
    stateName(before),
    event.type,
    stateName(after),
    after.context.pending.map((each) => each.kind),
    after.context.rescue === before.context.rescue,
  ].join();
}

describe('the weighing chart', () => {
  /** What a step broke, if any did. */
  const broken: unknown[] = [];
  /** For each plan, what leads where: pairs of states. */
  const steps: { readonly states: number; readonly pairs: [from: number, to: number][] }[] = [];
  /** For each plan, the states in which its batch is finished, and those in which it was given up. */
  const finished: Set<number>[] = [];
  const abandoned: Set<number>[] = [];
  /** One step of each kind: from where, by what, to where, with what decided. */
  const kinds = new Map<string, { readonly plan: Plan; readonly step: Step }>();

  beforeAll(() => {
    for (const plan of plans) {
      const pairs: [number, number][] = [];
      const [ends, drops] = [new Set<number>(), new Set<number>()];
      const states = everyStep(begun(plan), (step) => {
        const { from, to, before, event, after } = step;
        pairs.push([from, to]);
        if (after.context.batch.ended === 'finished') ends.add(to);
        if (isGivenUp(after)) drops.add(to);
        const kind = kindOf(step);
        if (!kinds.has(kind)) kinds.set(kind, { plan, step });
        try {
          checkStep(before, event, after);
        } catch (error) {
          if (broken.length < 5) broken.push(error);
        }
      });
      steps.push({ states, pairs });
      finished.push(ends);
      abandoned.push(drops);
    }
  }, 180_000); // some 400 000 steps, more where the machine is shared

  it('keeps its rules at every step that there is', () => {
    expect(steps.flatMap(({ pairs }) => pairs).length).toBeGreaterThan(10_000);
    expect(broken).toEqual([]);
  });

  it('can always be brought to an end', () => {
    for (const [index, { states, pairs }] of steps.entries()) {
      const earlier: number[][] = Array.from({ length: states }, () => []);
      for (const [from, to] of pairs) earlier[to]?.push(from);
      const good = new Set(finished[index]);
      for (const state of good) for (const each of earlier[state] ?? []) good.add(each);
      const stuck = new Set(pairs.map(([, to]) => to).filter((to) => !good.has(to) && !abandoned[index]?.has(to)));
      expect([...stuck].slice(0, 5)).toEqual([]);
    }
  });

  it('is reached in every state and every transition, and the real chart goes the same way', () => {
    const all = transitionsOf(machine);
    const missing = new Map([...all].map(([transition, name]) => [transition, name]));
    const reached = new Set<string>();
    for (const { plan, step } of kinds.values()) {
      const { last, taken, written } = walk(plan, eventsOf(step.way));
      expect(nameOf(last)).toBe(nameOf(step.after));
      checkSums(plan, [...saidBefore(plan), ...written]);
      reached.add(stateName(last));
      for (const each of taken) missing.delete(each);
    }
    for (const name of Object.keys(NEVER_TAKEN)) expect([...missing.values()], 'is taken after all').toContain(name);
    expect([...missing.values()].filter((name) => !(name in NEVER_TAKEN))).toEqual([]);
    expect([...reached].sort()).toEqual(
      statesOf(machine)
        .filter((name) => !['choosing', 'deciding'].includes(name)) // gone through at once
        .sort(),
    );
  });
});
