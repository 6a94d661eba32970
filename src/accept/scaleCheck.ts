/**
 * The judgement on a scale that was checked with weights.
 *
 * Sources: OIML R 76-1 for the tests (repeatability and corners from memory); the sample standard deviation as in
 * JCGM 100, 4.2.2.
 */
import { greater, type Mass, mass, minus, size, ZERO } from '../mass/mass.ts';
import { type CheckWeight, weightError } from './checkWeights.ts';
import { combined, rectangular, roundingUncertainty } from './uncertainty.ts';

/** One weighing of a check. All masses against the empty pan; `zero`: what the display shows with nothing on it. */
export interface CheckRow {
  readonly kind: 'zero' | 'weight' | 'repeat' | 'corner';
  /** What the display should show. */
  readonly nominal: Mass;
  readonly shown: Mass;
  /** How far off it may be, either way. For `repeat`: how far the whole series may spread. */
  readonly permissible: Mass;
}

export interface CheckJudgement {
  /** Standard deviation of the series; null with fewer than two weighings. */
  readonly repeatability: Mass | null;
  /**
   * Bound of the relative error that the check leaves possible, parts per million: what was found, the check
   * weight's own tolerance and half an interval of rounding. Null when no weight was on the pan.
   */
  readonly slopePpm: number | null;
  /** The same as a standard uncertainty, parts per million; not in checks that were logged before it was worked out. */
  readonly slopeStandardPpm?: number | undefined;
  readonly passed: boolean;
}

/** How far what was shown is off, with its sign. */
export function errorOf({ nominal, shown }: CheckRow): Mass {
  return minus(shown, nominal);
}

/** Whether one weighing alone is within its limit. A weighing of the series is judged only together with the others. */
export function isWithin(row: CheckRow): boolean {
  return row.kind === 'repeat' || size(errorOf(row)) <= row.permissible;
}

/** Largest minus smallest of the series. */
export function spreadOf(rows: readonly CheckRow[]): Mass {
  const shown = rows.filter(({ kind }) => kind === 'repeat').map((row) => row.shown);
  return shown.length === 0 ? ZERO : mass(Math.max(...shown) - Math.min(...shown));
}

/** The sample standard deviation, rounded up to a microgram; null with fewer than two values. */
export function deviationOf(values: readonly Mass[]): Mass | null {
  if (values.length < 2) return null;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return mass(Math.ceil(Math.sqrt(squares / (values.length - 1))));
}

/**
 * Judges a check. It has passed when at least one weight was on the pan, every weighing is within its limit, and the
 * series spreads no further than its limit.
 * @param weights those that were used, for their tolerances
 */
export function judgeCheck(rows: readonly CheckRow[], weights: readonly CheckWeight[], d: Mass): CheckJudgement {
  const series = rows.filter(({ kind }) => kind === 'repeat');
  const loaded = rows.filter(({ kind }) => kind === 'weight' || kind === 'corner');
  const repeatability = deviationOf(series.map(({ shown }) => shown));
  const standard = loaded.map((row) =>
    relativeUncertainty(row, rows, repeatability ?? ZERO, toleranceOf(row, weights), d),
  );
  return {
    repeatability,
    slopePpm: loaded.length === 0 ? null : Math.max(...loaded.map((row) => leftPossible(row, weights, d))),
    ...(standard.length === 0 ? {} : { slopeStandardPpm: Math.max(...standard) }),
    passed:
      loaded.length > 0 && rows.every(isWithin) && series.every(({ permissible }) => spreadOf(rows) <= permissible),
  };
}

function leftPossible(row: CheckRow, weights: readonly CheckWeight[], d: Mass): number {
  return Math.ceil(((size(errorOf(row)) + toleranceOf(row, weights) + d / 2) / row.nominal) * 1_000_000);
}

function toleranceOf({ nominal }: CheckRow, weights: readonly CheckWeight[]): Mass {
  return weights
    .filter((weight) => weight.nominal === nominal)
    .reduce<Mass>((most, weight) => greater(most, weightError(weight) ?? ZERO), ZERO);
}

/**
 * Root mean square of the relative error that is left, parts per million: the mean error that was found, which nobody
 * takes off the weights; the check weight's tolerance (rectangular); the rounding of the load and of the empty pan; and
 * the scatter of that mean (JCGM 100, 4.2.3, 4.3.7, 5.1.2, F.2.4.5). All weighings of one weight in the middle count
 * together; a corner counts alone.
 */
function relativeUncertainty(row: CheckRow, rows: readonly CheckRow[], s: Mass, tolerance: Mass, d: Mass): number {
  const isAlike = ({ kind, nominal }: CheckRow) => (kind === 'weight' || kind === 'repeat') && nominal === row.nominal;
  const errors = (row.kind === 'corner' ? [row] : rows.filter(isAlike)).map(errorOf);
  const found = errors.reduce((sum, each) => sum + each, 0) / errors.length;
  const rounding = Math.SQRT2 * roundingUncertainty(d);
  const left = combined(found, rectangular(tolerance), rounding, s / Math.sqrt(errors.length));
  // Round away the dust of floating point before rounding up.
  return Math.ceil(Number(((left / row.nominal) * 1_000_000).toPrecision(12)));
}
