/**
 * The uncertainty budget of one accepted net weight: which causes of error there are, and how much each may matter.
 *
 * Source: JCGM 100 (GUM), 4.3.7 for what is only known to lie within bounds, 5.1.2 for the combination, 6.2.1 for the
 * expansion, annex G for its factor (`coverage.ts`).
 */
import { type Mass, mass, size, ZERO } from '../mass/mass.ts';
import { coverageFactor, effectiveFreedom } from './coverage.ts';
import { type ScatterKnown, scatterOf } from './scatter.ts';
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

export interface WeighingInput extends ScatterKnown {
  readonly net: Mass;
  /** Bound of how far the zero may have moved since the empty pan was last read; 0 where it is not known to move. */
  readonly drift: Mass;
  /** What the last check left possible of the scale's relative error; null without a check. */
  readonly slope: SlopeKnown | null;
}

/** A relative error, parts per million: as a bound either way, and as a standard uncertainty where the log has it. */
export interface SlopeKnown {
  readonly boundPpm: number;
  readonly standardPpm?: number | undefined;
}

export interface Certainty {
  readonly budget: Budget;
  /** Expanded: `coverage` times the combined standard uncertainty. */
  readonly uncertainty: Mass;
  /** Coverage factor: 2 where all terms are well known, more where a short series is all that is known of the scatter. */
  readonly coverage: number;
}

/** A zero that has moved by more intervals was set by a key, and is no sign of drift. */
const MOST_DRIFT_D = 10;

/**
 * Bound of how far the zero may have moved since the empty pan was last read: as far as it had moved between the two
 * readings of the empty pan before, every interval of it. That the change seen from one look to the next bounds the
 * next one is how the drift of standards and of a scale's adjustment is taken in (EA-4/02, example S2; EURAMET cg-18 on
 * the adjustment; from memory); that it holds for a zero within minutes is our own step.
 */
export function driftBound(shift: Mass, d: Mass): Mass {
  return size(shift) <= MOST_DRIFT_D * d ? size(shift) : ZERO;
}

/** Fewest weighings that a check's series may have: with three or fewer the coverage factor runs away. */
export const LEAST_SERIES = 4;

/**
 * How many weighings a check's series has when the maker does not say: ten where the series is all that is known of the
 * scatter (USP general chapter 41; the European guides on calibration, EA-4/02, trust fewer only with a larger factor),
 * five where it only tests what the workshop states. Five like figures may hide a scatter of a whole interval; ten do not.
 */
export function usualSeries(stated: Mass | null | undefined): number {
  return stated == null ? 10 : 5;
}

/**
 * The budget of a net weight that is the difference of two settled readings, and its expanded uncertainty for about 95 %,
 * rounded up. Rounding and repeatability count once for each reading; drift is the bound of a rectangular distribution.
 *
 * What the check found is not taken off the weight. A reading is used as it is shown while the scale is within its
 * limits (OIML R 76), and a check is no calibration; so the error stays in, and counts in full (JCGM 100, F.2.4.5, asks
 * for that where a correction is left out). A scale that is clearly off is to be adjusted.
 *
 * The terms are rounded up to whole micrograms each, the expanded uncertainty only once.
 */
export function weighingBudget(input: WeighingInput): Certainty {
  const scatter = scatterOf(input);
  const rounding = Math.SQRT2 * roundingUncertainty(input.d);
  const repeatability = Math.SQRT2 * scatter.deviation;
  const drift = rectangular(input.drift);
  const check = slopeUncertainty(input.slope) * size(input.net);
  const known = [rounding, drift, check].map((u) => ({ u, freedom: Number.POSITIVE_INFINITY }));
  const coverage = coverageFactor(effectiveFreedom([...known, { u: repeatability, freedom: scatter.freedom }]));
  const up = (micrograms: number) => mass(Math.ceil(micrograms));
  return {
    budget: { rounding: up(rounding), repeatability: up(repeatability), drift: up(drift), check: up(check) },
    uncertainty: expanded(combined(rounding, repeatability, drift, check), coverage),
    coverage,
  };
}

/** Standard uncertainty of the relative error, as a fraction. */
function slopeUncertainty(slope: SlopeKnown | null): number {
  if (slope === null) return 0;
  return (slope.standardPpm ?? rectangular(slope.boundPpm)) / 1_000_000;
}
