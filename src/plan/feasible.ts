/** Can one draw be weighed on one scale, with one kind of vessel on the pan? Each check says why not, in numbers. */
import { smallestWeight } from '../accept/uncertainty.ts';
import type { Tolerance } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { Scale, Vessel } from '../workshop/model.ts';
import { volumeOf } from './contents.ts';
import { grams, leastOn, loadOn, percentOf, wholeGrams } from './inWords.ts';
import { type Judged, judgedBand, margins, type PartBand, partBands, relativeTolerance } from './plannedBand.ts';

/** What must be weighed. */
export interface Wanted {
  readonly target: Mass;
  readonly tolerance: Tolerance;
  /** What comes from each lot, in order; they add up to the target. */
  readonly pieces: readonly Mass[];
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

/** Why it can't be done there. */
export type Obstacle =
  | { readonly kind: 'none'; readonly why: string }
  | { readonly kind: 'load' | 'room'; readonly why: string; readonly fits: number; readonly needs: number }
  | { readonly kind: 'small'; readonly why: string; readonly least: Mass; readonly scale: Scale }
  | { readonly kind: 'coarse'; readonly why: string; readonly halfBand: Mass; readonly scale: Scale };

export interface Fit {
  readonly judged: Judged;
  readonly parts: readonly PartBand[];
}

/** The smallest weight rule: the scale's own repeatability against the tolerance that the draw asks for. */
export function tooSmall({ target, tolerance }: Wanted, scale: Scale): Obstacle | undefined {
  const relative = relativeTolerance(target, tolerance);
  const least = smallestWeight(scale, relative);
  if (target >= least) return undefined;
  const why = `the ${scale.id} scale can weigh ${leastOn(scale, least)} or more at ${percentOf(relative)}`;
  return { kind: 'small', why, least, scale };
}

/** The band must hold at least one weight that the scale can show, and start at 1 d or more. */
export function tooCoarse(wanted: Wanted, scale: Scale, fit: Fit): Obstacle | undefined {
  const { judged, parts } = fit;
  const bands = [judged, ...parts];
  if (bands.every(({ low, high }) => low >= scale.d && low <= high)) return undefined;
  const { under, over } = margins(wanted.target, wanted.tolerance);
  // With the guard taken off and one interval of room there is always a weight to show.
  const halfBand = mass(judged.uncertainty + scale.d);
  return {
    kind: 'coarse',
    why: `the ${scale.id} scale knows a weight to ${grams(judged.uncertainty)} either way, too coarse for a band of -${grams(under)} / +${grams(over)}`,
    halfBand,
    scale,
  };
}

/** Capacity: all that ever stands on the pan, up to the top of the band. */
export function tooHeavy(on: OnPan, high: Mass, scale: Scale): Obstacle | undefined {
  const load = mass(on.load + (on.grows ? high : 0));
  if (load <= scale.capacity) return undefined;
  return {
    kind: 'load',
    why: `the ${scale.id} scale takes ${wholeGrams(scale.capacity)}, and ${on.vessel.name} would weigh up to ${loadOn(scale, load)}`,
    fits: scale.capacity - on.vessel.tare,
    needs: load - on.vessel.tare,
  };
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
  };
}

/** All checks of one draw on one scale; the first obstacle, or how it fits. */
export function fitOn(wanted: Wanted, scale: Scale, pans: readonly OnPan[]): Fit | Obstacle {
  const judged = judgedBand(wanted.target, wanted.tolerance, scale, wanted.pieces.length);
  const parts = partBands(wanted.pieces, judged, wanted.tolerance, scale.d);
  const heavy = pans.map((on, index) => tooHeavy(on, parts[index]?.high ?? judged.high, scale)).find(Boolean);
  const fit = { judged, parts };
  return heavy ?? tooSmall(wanted, scale) ?? tooCoarse(wanted, scale, fit) ?? fit;
}

export function isFit(of: Fit | Obstacle): of is Fit {
  return 'judged' in of;
}
