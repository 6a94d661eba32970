/** What a candidate is, and what all of them share: a draw with its places, its parts, and those not worth a weighing. */
import type { FormulaDraw, Way } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Scale, Vessel, Workshop } from '../workshop/model.ts';
import type { Fit, Obstacle, Wanted } from './feasible.ts';
import type { Piece } from './lots.ts';
import { leastPart } from './plannedBand.ts';

/** A vessel that the ingredient may end up in, and the most that lies in it before. */
export interface Place {
  readonly vessel: Vessel;
  readonly most: Mass;
  readonly ml: number;
}

/** A draw and all that decides how it can be weighed. */
export interface ToPlace {
  readonly draw: FormulaDraw;
  readonly target: Mass;
  readonly pieces: readonly Piece[];
  /** See `Wanted`. */
  readonly weighedBefore?: number;
  readonly density: number | undefined;
  /** Where the ingredient ends up, and the most that lies in it before. */
  readonly vessel: Vessel;
  readonly inVessel: Mass;
  /** Where there are several such vessels: the one that is being filled, and those after it. */
  readonly places?: readonly Place[];
  /** Whether a lot's share may be weighed in several parts, where a vessel is too small for it; false when left out. */
  readonly mayCut?: boolean;
  readonly cups: readonly Vessel[];
  readonly workshop: Workshop;
}

export interface Candidate {
  readonly way: Way;
  readonly scale: Scale;
  /** The weighings in order; they add up to the target. */
  readonly pieces: readonly Piece[];
  /** What stands on the pan, for each of them. */
  readonly on: readonly Vessel[];
  /** Where each of them ends up. */
  readonly into: readonly Vessel[];
  readonly fit: Fit;
  /** All that stands in the way; none: it can be weighed so. */
  readonly obstacles: readonly Obstacle[];
}

export function wantedOf({ target, draw, weighedBefore = 0, density }: ToPlace, pieces: readonly Piece[]): Wanted {
  return { target, tolerance: draw.tolerance, pieces: pieces.map(({ amount }) => amount), weighedBefore, density };
}

/** The vessels that it may go to, the one being filled first. */
export function placesOf({ places, vessel, inVessel }: ToPlace): readonly Place[] {
  return places ?? [{ vessel, most: inVessel, ml: 0 }];
}

/** Parts that are worth no weighing of their own: with so little, the band would reach down to nothing. */
export function crumbs({ target, draw, pieces }: ToPlace, cut: readonly Piece[]): readonly Obstacle[] {
  if (cut.length === pieces.length || cut.every(({ amount }) => amount >= leastPart(target, draw))) return [];
  return [{ kind: 'none', why: 'shared between vessels, a part would be too small to weigh' }];
}
