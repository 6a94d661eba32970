/** How portioning runs: mean, spread, what is still to come, and whether the aim has wandered. */
import { type Bars, lotOf, mixLeft } from '../facts/bars.ts';
import { type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import { meanOf, spreadOf } from '../stats/spread.ts';
import { studentQuantile } from '../stats/student.ts';
import type { Aim } from './model.ts';

export interface Running {
  /** Bars in the lot. */
  readonly count: number;
  /** Micrograms; undefined without a bar. */
  readonly mean: number | undefined;
  /** Standard deviation, micrograms; undefined for fewer than two. */
  readonly s: number | undefined;
  /** What should be left of the mix; null when not known. */
  readonly left: Mass | null;
  /** Whole bars that it still gives; null when not known. */
  readonly toCome: number | null;
  /** By how much the hand runs over (above 0) or under the set-point; null while that may be chance. */
  readonly wanders: Mass | null;
}

/** The hand is judged by its last bars only, so that a hint that was followed goes away. */
const LAST_BARS = 8;
const FEWEST_BARS = 5;
const CONFIDENCE = 0.975;

export function runningOf(bars: Bars, { setPoint, low }: Aim, d: Mass): Running {
  const nets = lotOf(bars).map(({ net }) => net);
  const left = mixLeft(bars);
  const whole = left === null || setPoint <= 0 ? null : Math.floor(left / setPoint);
  // What is left may be a little less than the set-point and still make a bar in its band.
  const toCome = whole === null || left === null ? null : whole + (left - whole * setPoint >= low ? 1 : 0);
  return {
    count: nets.length,
    mean: meanOf(nets),
    s: spreadOf(nets)?.s,
    left,
    toCome,
    wanders: wandersBy(nets.slice(-LAST_BARS), setPoint, d),
  };
}

/** The mean is off the set-point by more than chance explains (95 % interval of a mean), and by an interval and more. */
function wandersBy(nets: readonly Mass[], setPoint: Mass, d: Mass): Mass | null {
  if (nets.length < FEWEST_BARS) return null;
  const spread = spreadOf(nets.map((net) => minus(net, setPoint)));
  if (spread === undefined) return null;
  const within = (studentQuantile(CONFIDENCE, spread.n - 1) * spread.s) / Math.sqrt(spread.n);
  const by = mass(Math.round(spread.mean));
  return Math.abs(spread.mean) > Math.max(within, d) ? by : null;
}

/** What the mix of a batch is, by its weighings: what reached the vessels, less what stuck on the way. */
export function mixOf({ bowl, stuck }: { readonly bowl: Mass; readonly stuck: Mass }): Mass | null {
  const mix = minus(bowl, stuck);
  return mix > ZERO ? mix : null;
}

/** What of the mix is not weighed off, by its weighings; null unless it would make a whole bar, or when it is not known. */
export function unweighed(bars: Bars): Mass | null {
  const left = mixLeft(bars);
  return left !== null && left >= bars.low ? left : null;
}

/**
 * What the mix still had by its weighings when all was said to be weighed; null unless a whole bar could be missing. So a
 * bar shows that was lifted off, asked for once more, and never put back on.
 */
export function missingAtEnd(bars: Bars): Mass | null {
  return bars.ended === null ? null : unweighed(bars);
}
