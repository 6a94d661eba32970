/**
 * The uncertainty budget of one accepted net weight: which causes of error there are, and how much each may matter.
 *
 * Source: JCGM 100 (GUM), 4.3.7 for what is only known to lie within bounds, 5.1.2 for the combination, 6.2.1 for the
 * expansion.
 */
import { greater, type Mass, mass, size, ZERO } from '../mass/mass.ts';
import { combined, expanded, rectangular, roundingUncertainty } from './uncertainty.ts';

/** The terms, each as a standard uncertainty. A term of which nothing is known is 0. */
export interface Budget {
  /** Rounding of both readings to the display's interval. */
  readonly rounding: Mass;
  /** Scatter of both readings. */
  readonly repeatability: Mass;
  /** What the zero may have moved since the empty pan was last read. */
  readonly drift: Mass;
  /** What the scale may show too much or too little of, by its last check with weights. */
  readonly check: Mass;
}

export interface WeighingInput {
  readonly net: Mass;
  /** The scale's interval. */
  readonly d: Mass;
  /** Standard deviation of repeated weighings, as the workshop states it; null where it does not. */
  readonly stated: Mass | null;
  /** The same as the last check found it; null without a check. */
  readonly measured: Mass | null;
  /** Bound of how far the zero may have moved since the empty pan was last read; 0 where it is not known to move. */
  readonly drift: Mass;
  /** Bound of the scale's relative error that the last check leaves possible, parts per million; null without a check. */
  readonly slopePpm: number | null;
}

/** The larger of the stated and the measured repeatability; 0 where neither is known. */
export function repeatabilityOf(stated: Mass | null, measured: Mass | null): Mass {
  return greater(stated ?? ZERO, measured ?? ZERO);
}

/** A zero that has moved by more intervals was set by a key, and is no sign of drift. */
const MOST_DRIFT_D = 10;

/**
 * Bound of how far the zero may have moved since the empty pan was last read: as far as it had moved between the two
 * readings of the empty pan before (no source).
 */
export function driftBound(shift: Mass, d: Mass): Mass {
  return size(shift) <= MOST_DRIFT_D * d ? size(shift) : ZERO;
}

/** Fewest weighings that a series' scatter can be taken from. */
export const LEAST_SERIES = 4;

/**
 * What one more weighing's scatter has to be taken for where nothing but a series of so many is known: a short series
 * may have been lucky. Where a repeatability is stated, the series only tests it, and its own deviation counts.
 * `s * sqrt((n - 1) / (n - 3))`, the standard deviation of the t-distribution that the series leaves (JCGM 101:2008,
 * 6.4.9, from memory).
 * @returns null where the series is shorter than four
 */
export function scatterAfter(deviation: Mass, weighings: number): Mass | null {
  if (weighings < LEAST_SERIES) return null;
  return mass(Math.ceil(deviation * Math.sqrt((weighings - 1) / (weighings - 3))));
}

/**
 * The budget of a net weight that is the difference of two settled readings, and its expanded uncertainty (k = 2,
 * rounded up). Rounding and repeatability count once for each reading; drift and check are bounds of rectangular
 * distributions. The terms are rounded up to whole micrograms each, the expanded uncertainty only once.
 */
export function weighingBudget(input: WeighingInput): { readonly budget: Budget; readonly uncertainty: Mass } {
  const rounding = Math.SQRT2 * roundingUncertainty(input.d);
  const repeatability = Math.SQRT2 * repeatabilityOf(input.stated, input.measured);
  const drift = rectangular(input.drift);
  const check = rectangular((size(input.net) * (input.slopePpm ?? 0)) / 1_000_000);
  const up = (micrograms: number) => mass(Math.ceil(micrograms));
  return {
    budget: { rounding: up(rounding), repeatability: up(repeatability), drift: up(drift), check: up(check) },
    uncertainty: expanded(combined(rounding, repeatability, drift, check)),
  };
}
