/** How much the readings of one load scatter: by what the workshop states, and by the series of the last check. */
import { greater, type Mass, mass, ZERO } from '../mass/mass.ts';

export interface ScatterKnown {
  /** Scale interval. */
  readonly d: Mass;
  /** Standard deviation of repeated weighings, as the workshop states it; null where it does not. */
  readonly stated: Mass | null;
  /** The same as the series of the last check found it; null without one. */
  readonly measured: Mass | null;
  /** Weighings in that series; null where an older log does not tell (it then counted for more already). */
  readonly weighings?: number | null | undefined;
}

export interface Scatter {
  /** Standard deviation of one weighing. */
  readonly deviation: Mass;
  /** Its degrees of freedom, above 0. */
  readonly freedom: number;
}

const WELL_KNOWN = Number.POSITIVE_INFINITY;

/**
 * The scatter that counts.
 * - What is stated characterises the scale and is better than a few readings (JCGM 100, 4.2.4), until a series speaks
 *   against it: `refutes`.
 * - Else the series is all that is known, with its few degrees of freedom (n - 1): `seenIn`.
 * - Nothing known counts as 0: the rounding of the display is a term of its own.
 */
export function scatterOf({ d, stated, measured, weighings = null }: ScatterKnown): Scatter {
  if (measured === null) return { deviation: stated ?? ZERO, freedom: WELL_KNOWN };
  if (weighings === null) return { deviation: greater(stated ?? ZERO, measured), freedom: WELL_KNOWN };
  if (stated !== null && !refutes(measured, weighings, stated, d)) return { deviation: stated, freedom: WELL_KNOWN };
  return seenIn(measured, weighings, d);
}

/**
 * The scatter of the scale itself in a series of displayed weights. The rounding of the load and of the empty pan is in
 * their spread already, and is a term of its own in the budget: d^2 / 6 is taken off, so that it counts once (JCGM 100,
 * 4.3.10). Figures that are all the same have not shown that there is no scatter (JCGM 100, F.2.2.1), only that it is
 * less than the least that n figures can show, one of them an interval off: d / sqrt(n). That is a bound (4.3.7), and what
 * is left is never taken for less; that this is the bound is our own reasoning.
 *
 * What is left is as uncertain as the whole spread was, so its degrees of freedom are fewer by the square of its share.
 */
function seenIn(measured: Mass, weighings: number, d: Mass): Scatter {
  const variance = Math.max(measured ** 2 - d ** 2 / 6, d ** 2 / (3 * weighings));
  const freedom = Math.max(1, weighings - 1) * Math.min(1, variance / measured ** 2) ** 2;
  return { deviation: mass(Math.ceil(Math.sqrt(variance))), freedom };
}

/** Standard normal quantile of the one-sided 5 % that the test leaves to chance. */
const Z_95 = 1.644854;

/**
 * Whether a series scatters more than a stated repeatability lets expect: `s^2 / sigma^2` beyond its 95 % point, the
 * usual test of a standard deviation (chi-squared over its degrees of freedom; by Wilson and Hilferty's cube, 1931, from
 * memory, within 1 % from 3 degrees of freedom on). A series shows the rounding of both its readings too: d^2 / 6.
 */
export function refutes(measured: Mass, weighings: number, stated: Mass, d: Mass): boolean {
  const ninths = 2 / (9 * Math.max(1, weighings - 1));
  const limit = (1 - ninths + Z_95 * Math.sqrt(ninths)) ** 3;
  return measured ** 2 > (stated ** 2 + d ** 2 / 6) * limit;
}
