/**
 * A draw that ends before its band, because its lot or its vessel does: the rest is a draw of its own, right after it.
 * The parts share the target and band of the whole, so what is still wanted follows from what they came to.
 */
import { ZERO } from '../mass/mass.ts';
import type { Plan, PlannedDraw, PlannedVessel, Task } from '../plan/model.ts';
import type { BatchState, DrawState } from './batchState.ts';
import type { Fact } from './fact.ts';
import type { Wanted } from './wanted.ts';

type Split = Fact & { kind: 'split' };

/** The whole that a draw is, or is a part of. */
function wholeOf(draw: PlannedDraw): NonNullable<PlannedDraw['part']> {
  const { id, target, low, high } = draw;
  return draw.part ?? { group: id, index: 1, of: 1, target, low, high };
}

/** What is left of a draw, as a draw of its own out of a lot. @param left what is still wanted of it */
export function restOf(
  draw: PlannedDraw,
  left: Wanted,
  lot: { readonly id: string; readonly onHand: number },
): PlannedDraw {
  const whole = wholeOf(draw);
  return {
    ...draw,
    ...left,
    id: `${whole.group}+${whole.of + 1}`,
    lot: lot.id,
    lotOnHand: lot.onHand as PlannedDraw['lotOnHand'],
    otherLots: draw.otherLots?.filter(({ id }) => id !== lot.id),
    part: { ...whole, index: whole.index + 1, of: whole.of + 1 },
  };
}

/** A second vessel like one that is full; it is to be told apart by its name, and may weigh otherwise. */
export function secondVessel(plan: Plan, of: string): PlannedVessel {
  const first = plan.vessels[of];
  let count = 2;
  while (Object.hasOwn(plan.vessels, `${of}+${count}`)) count += 1;
  const name = first?.name ?? of;
  return {
    id: `${of}+${count}`,
    name: count === 2 ? `second ${name}` : `${name}, number ${count}`,
    tare: first?.tare ?? ZERO,
  };
}

/** Vessels that a full one overflowed into: what is done with the first is done with them. */
export function overflowOf(plan: Plan, vessel: string): readonly string[] {
  return Object.keys(plan.vessels).filter((id) => id.startsWith(`${vessel}+`));
}

/** The state with the rest of the draw in the plan. */
export function split(state: BatchState, fact: Split, untouched: DrawState): BatchState {
  const { plan } = state;
  const at = plan.tasks.findIndex(({ id }) => id === fact.draw);
  const draw = plan.tasks[at];
  if (draw?.kind !== 'draw' || plan.tasks.some(({ id }) => id === fact.rest.id)) return state;
  const whole = wholeOf(draw);
  const counted = (task: Task): Task => {
    if (task.kind !== 'draw' || (task.id !== draw.id && task.part?.group !== whole.group)) return task;
    const part = wholeOf(task);
    return { ...task, part: { ...part, index: part.index + (part.index > whole.index ? 1 : 0), of: whole.of + 1 } };
  };
  const tasks = plan.tasks.map(counted);
  tasks.splice(at + 1, 0, fact.rest);
  const vessels = fact.newVessel ? { ...plan.vessels, [fact.newVessel.id]: fact.newVessel } : plan.vessels;
  const before = state.draws[draw.id] ?? untouched;
  const done: DrawState = { ...before, status: 'done', net: ZERO, bowl: ZERO };
  return {
    ...state,
    plan: { ...plan, tasks, vessels },
    draws: { ...state.draws, ...(fact.nothingYet ? { [draw.id]: done } : {}), [fact.rest.id]: untouched },
  };
}
