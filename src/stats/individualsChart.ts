/**
 * The control chart of single values: bars one by one. Its limits come from how much each differs from the one before,
 * so that a drift does not hide itself by widening them.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (individuals control charts). For ranges of two
 * values d2 = 2 / sqrt(pi) and d3 = sqrt(2 - 4 / pi); the printed tables round them to 1.128 and 0.853.
 */
import { type Mass, minus, size } from '../mass/mass.ts';
import { meanOf } from './spread.ts';

const D2 = 2 / Math.sqrt(Math.PI);
const D3 = Math.sqrt(2 - 4 / Math.PI);

/** Masses in micrograms, not rounded. */
export interface IndividualsChart {
  readonly centre: number;
  readonly lower: number;
  readonly upper: number;
  /** How much each value differs from the one before; one fewer than the values. */
  readonly ranges: readonly Mass[];
  readonly meanRange: number;
  readonly upperRange: number;
  /** Indexes of values beyond the limits. */
  readonly outside: readonly number[];
}

/** @returns undefined for fewer than two values */
export function individualsChart(values: readonly Mass[]): IndividualsChart | undefined {
  const ranges = values.slice(1).map((each, index) => size(minus(each, values[index] ?? each)));
  const centre = meanOf(values);
  const meanRange = meanOf(ranges);
  if (centre === undefined || meanRange === undefined) return undefined;
  const lower = centre - (3 / D2) * meanRange;
  const upper = centre + (3 / D2) * meanRange;
  const outside = values.flatMap((each, index) => (each < lower || each > upper ? [index] : []));
  return { centre, lower, upper, ranges, meanRange, upperRange: (1 + (3 * D3) / D2) * meanRange, outside };
}
