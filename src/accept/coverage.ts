/**
 * The coverage factor: how many standard uncertainties the expanded uncertainty is, so that it holds for about 95 %.
 *
 * Sources (JCGM 100, the GUM; from memory): G.4.1 for the effective degrees of freedom (Welch-Satterthwaite), G.6.4 for
 * the factor that follows from them, table G.2 for the values. The European guides for calibration and for weighing
 * (EA-4/02 and EURAMET cg-18) do the same where a scatter comes from fewer than ten readings.
 */

/** One cause of error and how well its standard uncertainty is known. */
export interface KnownTerm {
  /** Standard uncertainty, any unit. */
  readonly u: number;
  /** Degrees of freedom: readings less one; infinite for a bound, or a scatter known from long use. */
  readonly freedom: number;
}

/** Table G.2, p = 95.45 %: degrees of freedom, factor. */
const FACTORS = [
  [1, 13.97],
  [2, 4.53],
  [3, 3.31],
  [4, 2.87],
  [5, 2.65],
  [6, 2.52],
  [7, 2.43],
  [8, 2.37],
  [9, 2.32],
  [10, 2.28],
  [11, 2.25],
  [12, 2.23],
  [13, 2.21],
  [14, 2.2],
  [15, 2.18],
  [16, 2.17],
  [17, 2.16],
  [18, 2.15],
  [19, 2.14],
  [20, 2.13],
  [25, 2.11],
  [30, 2.09],
  [35, 2.07],
  [40, 2.06],
  [45, 2.06],
  [50, 2.05],
  [100, 2.025],
] as const;

/** The factor where every term is well known. */
export const USUAL_FACTOR = 2;

/** Welch-Satterthwaite: `u^4 / sum(u_i^4 / v_i)`, u the combined standard uncertainty. Infinite where nothing is uncertain. */
export function effectiveFreedom(terms: readonly KnownTerm[]): number {
  const whole = terms.reduce((sum, { u }) => sum + u ** 2, 0);
  const poor = terms.reduce((sum, { u, freedom }) => sum + u ** 4 / freedom, 0);
  return poor === 0 ? Number.POSITIVE_INFINITY : whole ** 2 / poor;
}

/**
 * Coverage factor for 95.45 %, between two entries of the table interpolated (G.4.2), in 1 / freedom; two decimals,
 * rounded up; 2 where all is well known.
 * @param freedom above 0; below 1 counts as 1, where the table ends
 */
export function coverageFactor(freedom: number): number {
  const above = FACTORS.find(([each]) => each >= freedom) ?? [Number.POSITIVE_INFINITY, USUAL_FACTOR];
  const below = FACTORS.findLast(([each]) => each < freedom);
  if (below === undefined) return above[1];
  const way = (1 / below[0] - 1 / freedom) / (1 / below[0] - 1 / above[0]);
  const factor = below[1] + way * (above[1] - below[1]);
  return Math.ceil(Number((100 * factor).toPrecision(10))) / 100;
}
