/**
 * The judgement on a scale that was checked with weights.
 *
 * Sources: OIML R 76-1 for the tests (repeatability and corners from memory); the sample standard deviation as in
 * JCGM 100, 4.2.2.
 */
import { greater, type Mass, mass, minus, size, ZERO } from '../mass/mass.ts';
import { type CheckWeight, weightError } from './checkWeights.ts';

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
  return {
    repeatability: deviationOf(series.map(({ shown }) => shown)),
    slopePpm: loaded.length === 0 ? null : Math.max(...loaded.map((row) => leftPossible(row, weights, d))),
    passed:
      loaded.length > 0 && rows.every(isWithin) && series.every(({ permissible }) => spreadOf(rows) <= permissible),
  };
}

function leftPossible(row: CheckRow, weights: readonly CheckWeight[], d: Mass): number {
  const tolerance = weights
    .filter(({ nominal }) => nominal === row.nominal)
    .reduce<Mass>((most, weight) => greater(most, weightError(weight) ?? ZERO), ZERO);
  return Math.ceil(((size(errorOf(row)) + tolerance + d / 2) / row.nominal) * 1_000_000);
}
