/** Masses counted in bins of equal width. */
import { type Mass, mass } from '../mass/mass.ts';

export interface Bin {
  readonly from: Mass;
  /** Where the next one begins; not in it. */
  readonly to: Mass;
  readonly count: number;
}

/** 1, 2 or 5 intervals, or ten times as many, and so on. */
const STEPS = [1, 2, 5];

/**
 * Bins that begin at whole multiples of their width. About as many as Sturges' rule asks for (1 + log2 n, rounded up;
 * H. A. Sturges, 1926), and no narrower than the scale can tell: whole intervals, or gaps between bins would only show
 * the display's steps.
 * @param d interval of the scale that weighed them, above 0
 * @returns none for no values
 */
export function histogram(values: readonly Mass[], d: Mass): Bin[] {
  if (values.length === 0) return [];
  const least = Math.min(...values);
  const most = Math.max(...values);
  const wanted = (most - least) / (1 + Math.ceil(Math.log2(values.length)));
  const width = niceWidth(wanted, d);
  const first = Math.floor(least / width);
  const last = Math.floor(most / width);
  const counts = new Array<number>(last - first + 1).fill(0);
  for (const each of values) {
    const index = Math.floor(each / width) - first;
    counts[index] = (counts[index] ?? 0) + 1;
  }
  return counts.map((count, index) => ({
    from: mass((first + index) * width),
    to: mass((first + index + 1) * width),
    count,
  }));
}

function niceWidth(wanted: number, d: Mass): number {
  for (let ten = 1; ; ten *= 10) {
    for (const step of STEPS) {
      const width = step * ten * d;
      if (width >= wanted) return width;
    }
  }
}
