/** What a draw must still weigh, given what the earlier parts of its ingredient came to; and which task is next. */
import type { Band } from '../accept/band.ts';
import { guardBand } from '../accept/uncertainty.ts';
import { greater, lesser, type Mass, mass, minus, plus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw, Task } from '../plan/model.ts';
import { downToGrid, upToGrid } from '../plan/plannedBand.ts';
import type { BatchState } from './batchState.ts';
import { certaintyOf } from './certainty.ts';
import { firstHere } from './handOver.ts';
import { weighedOfGroup } from './isDone.ts';

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

/** The answer for the state asked about last, which never changes: every reading asks a dozen times. */
let kept: { readonly state: BatchState; readonly task: Task | undefined } | undefined;

/** The task to do now: the first of the plan that is not done and waits for no other bench; undefined when there is none. */
export function nextTask(state: BatchState): Task | undefined {
  if (kept?.state !== state) kept = { state, task: firstHere(state) };
  return kept.task;
}
