/** Can one draw be weighed on one scale, with one kind of vessel on the pan? Each check says why not, in numbers. */
import { netUncertainty, smallestWeight } from '../accept/uncertainty.ts';
import type { Tolerance } from '../formula/model.ts';
import { greater, lesser, type Mass, mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import type { Scale, Vessel } from '../workshop/model.ts';
import { volumeOf } from './contents.ts';
import { grams, leastOn, loadOn, percentOf, wholeGrams } from './inWords.ts';
import {
  isRelative,
  type Judged,
  judgedBand,
  margins,
  type PartBand,
  partBands,
  relativeTolerance,
} from './plannedBand.ts';

/** What must be weighed. */
export interface Wanted {
  readonly target: Mass;
  readonly tolerance: Tolerance;
  /** What comes from each lot, in order; they add up to the target. */
  readonly pieces: readonly Mass[];
  /** In how many weighings earlier parts of it went in, whose uncertainty the whole has too; none when left out. */
  readonly weighedBefore?: number;
  /** g/ml. */
  readonly density: number | undefined;
}

/** What stands on the pan for one piece, and what it weighs before the weighing at most. */
export interface OnPan {
  readonly vessel: Vessel;
  readonly load: Mass;
  /** Whether the weighed amount comes on top; when it is taken out, the load is the most. */
  readonly grows: boolean;
}

/** Why it can't be done there. Its sentence is only made when it is asked for: most candidates are never told of. */
export type Obstacle =
  | { readonly kind: 'none'; readonly why: string }
  | {
      readonly kind: 'load' | 'room';
      readonly why: string;
      readonly fits: number;
      readonly needs: number;
      /** What would have to be otherwise, a phrase: `a vessel of 43 ml`. */
      readonly instead: string;
    }
  | { readonly kind: 'weak'; readonly why: string; readonly scale: Scale; readonly halfBand: Mass };

/** Whether a lighter or roomier vessel, or less in it, would do. */
export function isOfSize(obstacle: Obstacle): obstacle is Obstacle & { readonly kind: 'load' | 'room' } {
  return obstacle.kind === 'load' || obstacle.kind === 'room';
}

export interface Fit {
  readonly judged: Judged;
  readonly parts: readonly PartBand[];
}

/**
 * The narrower side that a tolerance must have on a scale, so that a weight can surely be judged: with the whole
 * uncertainty kept off as guard, one interval each way is left, and in that there is always a weight to show.
 */
export function leastHalfBand(scale: Scale, weighings = 1): Mass {
  return mass(Math.ceil(netUncertainty(scale) * Math.sqrt(weighings)) + scale.d);
}

/** From which weight on a scale is surely good for a relative tolerance: smallest weight rule and guard band. */
export function leastWeight(scale: Scale, relative: number, weighings = 1): Mass {
  return greater(smallestWeight(scale, relative), mass(Math.ceil(leastHalfBand(scale, weighings) / relative)));
}

/**
 * The smallest weight rule (the scale's repeatability against the tolerance); that the uncertainty leaves of the band an
 * interval each way, in which there is always a weight to show, so that what can be weighed does not hang on where the
 * target lies between two steps of the display; and that every part has such a weight, of 1 d or more.
 */
export function tooWeak(wanted: Wanted, scale: Scale, { judged, parts }: Fit): Obstacle | undefined {
  const { target, tolerance, pieces, weighedBefore = 0 } = wanted;
  const relative = relativeTolerance(target, tolerance);
  const { under, over } = margins(target, tolerance);
  const weighings = pieces.length + weighedBefore;
  const halfBand = leastHalfBand(scale, weighings);
  const judgeable = [judged, ...parts].every(({ low, high }) => low >= scale.d && low <= high);
  if (judgeable && lesser(under, over) >= halfBand && target >= smallestWeight(scale, relative)) return undefined;
  const why = () =>
    isRelative(target, tolerance)
      ? `the ${scale.id} scale can weigh ${leastOn(scale, leastWeight(scale, relative, weighings))} or more at ${percentOf(relative)}`
      : `the ${scale.id} scale knows a weight to ${grams(judged.uncertainty)} either way, too coarse for a band of -${grams(under)} / +${grams(over)}`;
  return {
    kind: 'weak',
    get why() {
      return why();
    },
    scale,
    halfBand,
  };
}

/** Capacity: all that ever stands on the pan, up to the top of the band. */
export function tooHeavy(on: OnPan, high: Mass, scale: Scale): Obstacle | undefined {
  const load = mass(on.load + (on.grows ? high : 0));
  if (load <= scale.capacity) return undefined;
  return {
    kind: 'load',
    get why() {
      return `the ${scale.id} scale takes ${wholeGrams(scale.capacity)}, and ${on.vessel.name} would weigh up to ${loadOn(scale, load)}`;
    },
    fits: scale.capacity - on.vessel.tare,
    needs: load - on.vessel.tare,
    get instead() {
      const lighter = mass(on.vessel.tare - (load - scale.capacity));
      const vessel =
        lighter > 0 ? `a vessel of at most ${printMass(lighter, { rounding: 'down', decimals: 0 })} g empty, or ` : '';
      return `${vessel}a scale that takes ${printMass(load, { rounding: 'up', decimals: 0 })} g`;
    },
  };
}

/** A vessel with room for so much, millilitres. */
export function vesselOf(ml: number): string {
  return `a vessel of ${Math.ceil(ml)} ml`;
}

/** Room in a vessel for what is in it and what comes, as it lies loose. Unknown density or volume: no objection. */
export function noRoom(vessel: Vessel, mlInIt: number, high: Mass, density: number | undefined): Obstacle | undefined {
  const more = volumeOf(high, density);
  if (more === undefined || vessel.usableMl === undefined || mlInIt + more <= vessel.usableMl) return undefined;
  return {
    kind: 'room',
    why: `${vessel.name} holds ${vessel.usableMl} ml, and ${Math.ceil(mlInIt + more)} ml would be in it`,
    fits: vessel.usableMl,
    needs: mlInIt + more,
    instead: vesselOf(mlInIt + more),
  };
}

/** What the checks of one draw on one scale found. */
export interface Checked {
  readonly fit: Fit;
  /** All that stands in the way; none: it can be weighed so. */
  readonly obstacles: readonly Obstacle[];
}

/**
 * All checks of one draw on one scale.
 * @param mosts the most that each part may come to, where that is more than the top of its band
 */
export function checkOn(
  wanted: Wanted,
  scale: Scale,
  pans: readonly OnPan[],
  mosts: readonly (Mass | undefined)[] = [],
): Checked {
  const weighings = wanted.pieces.length + (wanted.weighedBefore ?? 0);
  const judged = judgedBand(wanted.target, wanted.tolerance, scale, weighings);
  const parts = partBands(wanted.pieces, judged, wanted.tolerance, scale.d);
  const fit = { judged, parts };
  const heavy = pans.map((on, index) => {
    return tooHeavy(on, mosts[index] ?? parts[index]?.high ?? judged.high, scale);
  });
  const obstacles = [heavy.find(Boolean), tooWeak(wanted, scale, fit)].filter((found) => found !== undefined);
  return { fit, obstacles };
}
