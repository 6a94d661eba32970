/**
 * Every step that the weighing chart can take from one state of a batch on, found breadth first: each is looked at once and forgotten, as
 * some 400 000 of them, kept, would cost more time than all the rest.
 */
import { type AnyActorRef, type AnyActorScope, createActor } from 'xstate';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Snapshot } from './chartRig.ts';
import { type ModelEvent, machine, nameOf, offers } from './modelBench.ts';

/** How a state is reached: by an event from another one. The first state has none. */
export interface Way {
  readonly event: ModelEvent;
  readonly before: Way | undefined;
}

export interface Step {
  /** Numbers of the states, by the order in which they are found; the first is 0. */
  readonly from: number;
  readonly to: number;
  readonly before: Snapshot;
  readonly event: ModelEvent;
  readonly after: Snapshot;
  /** A shortest way to `after` whose last event is this step's. */
  readonly way: Way;
}

/** All events of a way, the first one first. */
export function eventsOf(way: Way): readonly ModelEvent[] {
  const events: ModelEvent[] = [];
  for (let each: Way | undefined = way; each; each = each.before) events.push(each.event);
  return events.reverse();
}

/** Looks at every step that a batch may still take. @returns how many states there are */
export function everyStep(begun: BatchState, look: (step: Step) => void): number {
  const actor = createActor(machine, { input: { batch: begun } });
  const scope = bystander(actor);
  const start = actor.getSnapshot();
  const numbers = new Map([[nameOf(start), 0]]);
  let next: { readonly state: Snapshot; readonly way: Way | undefined }[] = [{ state: start, way: undefined }];
  const numberOf = (state: Snapshot, way: Way): number => {
    const name = nameOf(state);
    const known = numbers.get(name);
    if (known !== undefined) return known;
    next.push({ state, way });
    numbers.set(name, numbers.size);
    return numbers.size - 1;
  };
  let from = 0;
  while (next.length > 0) {
    const found = next;
    next = [];
    for (const { state: before, way: behind } of found) {
      for (const event of offers(before)) {
        const after = machine.transition(before, event as never, scope) as Snapshot;
        const way = { event, before: behind };
        // Two of five events are none of the state's business: the chart gives back the very same state.
        const to = after === before ? from : numberOf(after, way);
        look({ from, to, before, event, after, way });
      }
      from++;
    }
  }
  return numbers.size;
}

/** What a transition is given to act on: nothing is done, only the next state is asked for. */
function bystander(self: AnyActorRef): AnyActorScope {
  const nothing = () => {};
  return {
    self,
    system: self.system,
    id: self.id,
    sessionId: self.sessionId,
    logger: nothing,
    defer: nothing,
    emit: nothing,
    stopChild: nothing,
    actionExecutor: nothing,
  };
}
