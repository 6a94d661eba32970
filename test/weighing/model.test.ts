/**
 * The whole chart, walked through by generated paths: every state and every transition of its definition is reached,
 * and on the way nothing happens that must not.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { type AnyTransitionDefinition, createActor, SimulatedClock } from 'xstate';
import { getAdjacencyMap } from 'xstate/graph';
import { apply, planned } from '../../src/facts/apply.ts';
import type { Fact } from '../../src/facts/fact.ts';
import type { Plan } from '../../src/plan/model.ts';
import { type Snapshot, stateName } from './chartRig.ts';
import { handedOver, type ModelEvent, machine, nameOf, offers, RINGS, WRITTEN } from './modelBench.ts';
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

interface Edge {
  readonly plan: Plan;
  /** Names of the states. */
  readonly from: string;
  readonly to: string;
  readonly before: Snapshot;
  readonly event: ModelEvent;
  readonly after: Snapshot;
}

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

describe('the weighing chart', () => {
  const edges: Edge[] = [];
  /** By the name of a state: the events that lead there. */
  const paths = new Map<string, readonly ModelEvent[]>();

  beforeAll(() => {
    for (const [index, plan] of plans.entries()) {
      // States of different plans are different states.
      const named = (snapshot: Snapshot) => `${index} ${nameOf(snapshot)}`;
      const input = { batch: begun(plan) };
      const options = { input, events: offers, serializeState: named } as never;
      const map = getAdjacencyMap(machine as never, options) as unknown as Record<
        string,
        { state: Snapshot; transitions: Record<string, { event: ModelEvent; state: Snapshot }> }
      >;
      for (const [at, [from, { state: before, transitions }]] of Object.entries(map).entries()) {
        if (at === 0) paths.set(from, []);
        for (const { event, state: after } of Object.values(transitions)) {
          const to = named(after);
          edges.push({ plan, from, to, before, event, after });
          // The map is made breadth first: the first way found to a state is a shortest one.
          if (!paths.has(to)) paths.set(to, [...(paths.get(from) ?? []), event]);
        }
      }
    }
  }, 180_000); // some 400 000 steps: half a minute of computing, more where the machine is shared

  it('keeps its rules at every step that there is', () => {
    expect(edges.length).toBeGreaterThan(10_000);
    for (const { before, event, after } of edges) checkStep(before, event, after);
  }, 180_000);

  it('can always be brought to an end', () => {
    const next = new Map<string, Set<string>>();
    const ended = new Set<string>();
    for (const { from, to, after } of edges) {
      next.set(to, (next.get(to) ?? new Set()).add(from)); // backwards
      if (after.context.batch.ended === 'finished') ended.add(to);
    }
    const good = new Set(ended);
    for (const name of good) for (const earlier of next.get(name) ?? []) good.add(earlier);
    const stuck = [...paths.keys()].filter((name) => !good.has(name) && !/\babandoned\b/.test(name));
    expect(stuck).toEqual([]);
  });

  it('is reached in every state and every transition, and the real chart goes the same way', () => {
    const all = transitionsOf(machine);
    const missing = new Map([...all].map(([transition, name]) => [transition, name]));
    const reached = new Set<string>();
    const kinds = new Set<string>();
    const go = (plan: Plan, events: readonly ModelEvent[], to: string) => {
      const { last, taken, written } = walk(plan, events);
      expect(nameOf(last)).toBe(to.slice(to.indexOf(' ') + 1));
      checkSums(plan, [...saidBefore(plan), ...written]);
      reached.add(stateName(last));
      for (const each of taken) missing.delete(each);
    };
    // One path for each kind of step: from where, by what, to where, with what decided.
    for (const { plan, from, to, before, event, after } of edges) {
      const kind = [
        stateName(before),
        event.type,
        stateName(after),
        after.context.pending.map((each) => each.kind),
        after.context.rescue === before.context.rescue,
      ].join();
      if (kinds.has(kind)) continue;
      kinds.add(kind);
      go(plan, [...(paths.get(from) ?? []), event], to);
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
