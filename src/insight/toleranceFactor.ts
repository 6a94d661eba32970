/** How wide a band must be to hold most of what will come, judged by few that came. */
import { normalQuantile } from '../stats/normal.ts';

/**
 * The quantile of the chi-square distribution, to about three digits from five degrees of freedom on.
 *
 * Source: E. B. Wilson, M. M. Hilferty, The distribution of chi-square, Proc. Natl. Acad. Sci. 17 (1931) 684-688.
 */
function chiSquareQuantile(p: number, freedom: number): number {
  const part = 2 / (9 * freedom);
  return freedom * (1 - part + normalQuantile(p) * Math.sqrt(part)) ** 3;
}

/**
 * By how many standard deviations either side of the mean an interval reaches that holds a share of all values, with a
 * confidence; for values that are about normal.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3 (two-sided tolerance interval, Howe's method).
 * @param n values that mean and deviation come from, at least 5
 */
export function toleranceFactor(n: number, share: number, confidence: number): number {
  const freedom = n - 1;
  const z = normalQuantile((1 + share) / 2);
  return z * Math.sqrt((freedom * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, freedom));
}
