/** From a tolerance on paper to the weights that a scale's display can show. */
import { guardBand, netUncertainty } from '../accept/uncertainty.ts';
import type { Tolerance } from '../formula/model.ts';
import { lesser, type Mass, mass, minus } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';
import type { Scale } from '../workshop/model.ts';

/** How far off the target a draw may be, on each side. */
export interface Margins {
  readonly under: Mass;
  readonly over: Mass;
}

/** A side of a tolerance as a mass; a share is rounded down, so that it is never widened. */
function margin(side: Tolerance['under'], target: Mass, floor: Mass | undefined): Mass {
  const given =
    'mass' in side ? side.mass : Number(divideRounded(BigInt(target) * BigInt(side.ppm), 1_000_000n, 'down'));
  return mass(Math.max(given, floor ?? 0));
}

export function margins(target: Mass, { under, over, floor }: Tolerance): Margins {
  return { under: margin(under, target, floor), over: margin(over, target, floor) };
}

/** The least that is worth a part of its own: with less, its band would reach down to nothing. */
export function leastPart(target: Mass, { tolerance }: { readonly tolerance: Tolerance }): Mass {
  const { under, over } = margins(target, tolerance);
  return mass(2 * Math.max(under, over));
}

/** The narrower side of a tolerance as a share of its target, e.g. 0.02; what the scale must be good for. */
export function relativeTolerance(target: Mass, { under, over, floor }: Tolerance): number {
  const share = (side: Tolerance['under']) => {
    return Math.max('mass' in side ? side.mass / target : side.ppm / 1_000_000, (floor ?? 0) / target);
  };
  return Math.min(share(under), share(over));
}

/** Whether the narrower side is a share, so that a larger target makes the band wider; otherwise it is a mass. */
export function isRelative(target: Mass, tolerance: Tolerance): boolean {
  const { under, over } = margins(target, tolerance);
  const side = under <= over ? tolerance.under : tolerance.over;
  return 'ppm' in side && (target * side.ppm) / 1_000_000 >= (tolerance.floor ?? 0);
}

/** The lowest multiple of `d` that is not below a mass. */
export function upToGrid(of: Mass, d: Mass): Mass {
  return mass(Math.ceil(of / d) * d);
}

/** The highest multiple of `d` that is not above a mass. */
export function downToGrid(of: Mass, d: Mass): Mass {
  return mass(Math.floor(of / d) * d);
}

export interface Judged {
  readonly low: Mass;
  readonly high: Mass;
  /** How far each side was moved in. */
  readonly guard: Mass;
  /** Of one net weight, k = 2. */
  readonly uncertainty: Mass;
}

/**
 * The band that a draw is judged by on a scale: the tolerance, moved in by the guard band where the scale's
 * uncertainty is not small against it, then rounded inward to what the scale can show. It may be empty (low above
 * high): then the scale can't judge this draw.
 * @param weighings in how many parts the draw is weighed; their uncertainties add up in squares
 */
export function judgedBand(target: Mass, tolerance: Tolerance, scale: Scale, weighings = 1): Judged {
  const { under, over } = margins(target, tolerance);
  const uncertainty = netUncertainty(scale);
  const guard = guardBand(lesser(under, over), mass(Math.ceil(uncertainty * Math.sqrt(weighings))));
  return {
    low: upToGrid(mass(target - under + guard), scale.d),
    high: downToGrid(mass(target + over - guard), scale.d),
    guard,
    uncertainty,
  };
}

/** One part of a draw that is weighed from several lots. */
export interface PartBand {
  readonly target: Mass;
  readonly low: Mass;
  readonly high: Mass;
}

/**
 * The bands of the parts. An earlier part may end early or run over as far as the whole may; the last part gets what
 * the earlier ones leave of the whole's band. One part alone has the whole's band.
 */
export function partBands(pieces: readonly Mass[], whole: Judged, tolerance: Tolerance, d: Mass): PartBand[] {
  const target = mass(pieces.reduce((sum, piece) => sum + piece, 0));
  const { under, over } = margins(target, tolerance);
  let earlier = mass(0);
  return pieces.map((piece, index) => {
    if (index === pieces.length - 1) {
      return {
        target: piece,
        low: upToGrid(minus(whole.low, earlier), d),
        high: downToGrid(minus(whole.high, earlier), d),
      };
    }
    earlier = mass(earlier + piece);
    return {
      target: piece,
      low: upToGrid(mass(piece - under + whole.guard), d),
      high: downToGrid(mass(piece + over - whole.guard), d),
    };
  });
}
