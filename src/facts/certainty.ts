/** How surely a draw's weight is known: from the scale's own data in the plan, and from what its last check found. */
import { type Certainty, weighingBudget } from '../accept/budget.ts';
import type { Mass } from '../mass/mass.ts';
import type { PlannedDraw } from '../plan/model.ts';
import type { BatchState } from './batchState.ts';

/**
 * The uncertainty budget of a net weight of a draw, and its expanded uncertainty.
 * @param drift bound of how far the zero may have moved since the empty pan was last read
 */
export function certaintyOf({ plan, scales }: BatchState, draw: PlannedDraw, net: Mass, drift: Mass): Certainty {
  const scale = plan.scales[draw.scale];
  if (!scale) throw new Error(`the plan has no scale ${draw.scale}`);
  const checked = scales[draw.scale];
  return weighingBudget({
    net,
    d: scale.d,
    stated: scale.repeatability,
    measured: checked?.repeatability ?? null,
    weighings: checked?.weighings,
    drift,
    slope: checked?.slopePpm == null ? null : { boundPpm: checked.slopePpm, standardPpm: checked.slopeStandardPpm },
  });
}
