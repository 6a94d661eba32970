/** Whether a task has nothing left to do. */
import { judge } from '../accept/band.ts';
import { greater, type Mass, minus, plus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw, Task } from '../plan/model.ts';
import type { BatchState } from './batchState.ts';
import { stuckOf } from './combine.ts';
import { overflowOf } from './split.ts';

/** What all other parts of the whole that a draw belongs to came to. */
export function weighedOfGroup(state: BatchState, draw: PlannedDraw): Mass {
  const tooLate = isTooLate(state, draw);
  let sum = ZERO;
  for (const task of state.plan.tasks) {
    if (task.kind !== 'draw' || task.id === draw.id || task.part?.group !== draw.part?.group) continue;
    const { net, bowl } = state.draws[task.id] ?? {};
    // What stayed in a cup, or stuck to a vessel on the way, is not in the whole.
    const stuck = tooLate ? ZERO : stuckOf(state, task.id);
    sum = plus(sum, greater(ZERO, minus(bowl ?? net ?? ZERO, stuck)));
  }
  return sum;
}

/** Whether a draw's vessel has been emptied into another after the draw's turn: nothing more of it gets into the whole. */
function isTooLate({ plan, steps }: BatchState, draw: PlannedDraw): boolean {
  const after = plan.tasks.slice(plan.tasks.indexOf(draw) + 1);
  return after.some((task) => {
    if (task.kind !== 'step' || task.step !== 'combine' || steps[task.id]?.done !== true) return false;
    return task.vessel === draw.vessel || overflowOf(plan, task.vessel ?? '').includes(draw.vessel);
  });
}

/** Whether this draw, a later part of an ingredient, is not needed because the earlier parts made up the whole. */
export function notNeeded(state: BatchState, draw: PlannedDraw): boolean {
  const { part } = draw;
  if (part === null || part.index === 1) return false;
  return judge(weighedOfGroup(state, draw), part) !== 'under';
}

/** Whether a task has nothing left to do. */
export function isDone(state: BatchState, task: Task): boolean {
  if (task.kind === 'step') return state.steps[task.id]?.done === true;
  return state.draws[task.id]?.status === 'done' || notNeeded(state, task);
}
