/**
 * How well a scale knows a weight.
 *
 * Sources: JCGM 100 (GUM) 4.3.7, 5.1.2 and F.2.2.1 for the terms; USP general chapters 41 and 1251 for the smallest
 * weight; JCGM 106 for the guard band.
 */
import { type Mass, mass } from '../mass/mass.ts';

/** What is known of a scale for its uncertainty. */
export interface ScaleError {
  /** Scale interval. */
  readonly d: Mass;
  /** Standard deviation of repeated weighings, if known. */
  readonly repeatability: Mass | null | undefined;
}

/** Below this many d a measured repeatability only shows the rounding; USP 41. */
const LEAST_REPEATABILITY_IN_D = 0.41;

/**
 * Standard uncertainty of the rounding of one digital reading: d / sqrt(12), micrograms.
 * A reading may lie anywhere within half an interval of what is shown (rectangular distribution).
 */
export function roundingUncertainty(d: Mass): number {
  return d / Math.sqrt(12);
}

/** Standard uncertainty of what lies anywhere within a bound either way: bound / sqrt(3) (JCGM 100, 4.3.7). */
export function rectangular(bound: number): number {
  return Math.abs(bound) / Math.sqrt(3);
}

/** Standard uncertainty from independent causes: the root of the sum of their squares (JCGM 100, 5.1.2). */
export function combined(...terms: readonly number[]): number {
  return Math.hypot(...terms);
}

/**
 * Expanded uncertainty, about 95 %, rounded up to a microgram.
 * @param u standard uncertainty, micrograms
 * @param coverage the factor k; 2 where all that it is made of is well known
 */
export function expanded(u: number, coverage = 2): Mass {
  return mass(Math.ceil(coverage * u));
}

/**
 * Expanded uncertainty of a net weight that is the difference of two settled readings, as it can be planned.
 * Terms, each once for each of the two readings: the rounding, and the scale's repeatability (both readings are of a
 * loaded pan, so both scatter). Drift and the result of a check are known only at the bench: see `budget.ts`.
 */
export function netUncertainty({ d, repeatability }: ScaleError): Mass {
  return expanded(combined(Math.SQRT2 * roundingUncertainty(d), Math.SQRT2 * (repeatability ?? 0)));
}

/**
 * The smallest net weight that a scale can weigh at a relative tolerance: `2 * max(s, 0.41 d) / tolerance`.
 * @param tolerance wanted relative tolerance, above 0, e.g. 0.001 for 0.10 %
 * @throws RangeError when the tolerance is not above zero
 */
export function smallestWeight({ d, repeatability }: ScaleError, tolerance: number): Mass {
  if (!(tolerance > 0)) throw new RangeError('a tolerance must be above zero');
  const s = Math.max(repeatability ?? 0, LEAST_REPEATABILITY_IN_D * d);
  // Round away the dust of floating point before rounding up: 2 * 0.41 / 0.001 must stay 820.
  return mass(Math.ceil(Number(((2 * s) / tolerance).toPrecision(12))));
}

/**
 * How far a band must be moved inward on each side. While the expanded uncertainty is at most a third of the
 * half-band, it counts as small and nothing is moved (simple acceptance); beyond, the guard is the whole expanded
 * uncertainty, which leaves at most 2.3 % chance of accepting a weight outside the limit (JCGM 106, w = U).
 * @param halfBand the narrower of the distances from target to low and to high
 */
export function guardBand(halfBand: Mass, uncertainty: Mass): Mass {
  return uncertainty * 3 <= halfBand ? mass(0) : uncertainty;
}
