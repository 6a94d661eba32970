/** What a draw must still weigh, given what the earlier parts of its ingredient came to; and which task is next. */
import type { Band } from '../accept/band.ts';
import { judge } from '../accept/band.ts';
import { guardBand } from '../accept/uncertainty.ts';
import { greater, lesser, type Mass, mass, minus, plus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw, Task } from '../plan/model.ts';
import { downToGrid, upToGrid } from '../plan/plannedBand.ts';
import type { BatchState } from './batchState.ts';
import { certaintyOf } from './certainty.ts';
import { stuckOf } from './combine.ts';
import { overflowOf } from './split.ts';

export interface Wanted extends Band {
  readonly target: Mass;
}

/**
 * Target and band of a draw now. For a draw in parts they follow from what the earlier parts really weighed. The band
 * is narrower than planned where the scale's check has found it less sure than the plan took it to be.
 */
export function wanted(state: BatchState, draw: PlannedDraw): Wanted {
  return guarded(state, draw, planned(state, draw));
}

function planned(state: BatchState, draw: PlannedDraw): Wanted {
  const { part } = draw;
  if (part === null) return { target: draw.target, low: draw.low, high: draw.high };
  const earlier = weighedOfGroup(state, draw);
  const left = { target: minus(part.target, earlier), low: minus(part.low, earlier), high: minus(part.high, earlier) };
  if (part.index === part.of) return left;
  // Not the last part: use up this lot, but never go past what the whole may have.
  return {
    target: lesser(draw.target, left.target),
    low: lesser(draw.low, left.low),
    high: greater(ZERO, lesser(draw.high, left.high)),
  };
}

/**
 * Moves the band in as far as the plan would have done, had it known what the check found (JCGM 106; the plan's own
 * rule). About one interval each side of the target is always left: a failed check is told, it forbids nothing.
 */
function guarded(state: BatchState, draw: PlannedDraw, band: Wanted): Wanted {
  const scale = state.plan.scales[draw.scale];
  if (!scale || !state.scales[draw.scale]) return band;
  const { uncertainty } = certaintyOf(state, draw, draw.target, ZERO);
  if (uncertainty <= draw.uncertainty) return band;
  const whole = draw.part ?? draw;
  const halfBand = plus(lesser(minus(whole.target, whole.low), minus(whole.high, whole.target)), draw.guard);
  const guard = guardBand(halfBand, mass(Math.ceil(uncertainty * Math.sqrt(draw.part?.of ?? 1))));
  const further = greater(ZERO, minus(guard, draw.guard));
  const near = {
    low: downToGrid(minus(band.target, scale.d), scale.d),
    high: upToGrid(plus(band.target, scale.d), scale.d),
  };
  return {
    target: band.target,
    low: greater(band.low, lesser(upToGrid(plus(band.low, further), scale.d), near.low)),
    high: lesser(band.high, greater(downToGrid(minus(band.high, further), scale.d), near.high)),
  };
}

function weighedOfGroup(state: BatchState, draw: PlannedDraw): Mass {
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

/** The answer for the state asked about last, which never changes: every reading asks a dozen times. */
let kept: { readonly state: BatchState; readonly task: Task | undefined } | undefined;

/** The task to do now: the first of the plan that is not done; undefined when all are. */
export function nextTask(state: BatchState): Task | undefined {
  if (kept?.state !== state) kept = { state, task: state.plan.tasks.find((task) => !isDone(state, task)) };
  return kept.task;
}
