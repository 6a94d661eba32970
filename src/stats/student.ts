/** Student's t distribution, for what is known from few bars. */

/** More degrees of freedom than this are as good as infinitely many here, and the sum below grows long. */
const MOST_FREEDOM = 100_000;

/**
 * The share of the distribution within `t` either side of 0, as a finite sum.
 *
 * Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4.
 * @param angle atan(t / sqrt(freedom)), 0 to pi / 2
 */
function shareWithin(angle: number, freedom: number): number {
  const cos = Math.cos(angle);
  const odd = freedom % 2 === 1;
  let term = odd ? cos : 1;
  let sum = freedom === 1 ? 0 : term;
  for (let i = odd ? 3 : 2; i < freedom; i += 2) {
    term *= (cos * cos * (i - 1)) / i;
    sum += term;
  }
  return odd ? (2 / Math.PI) * (angle + Math.sin(angle) * sum) : Math.sin(angle) * sum;
}

/**
 * The quantile: below it lies the share `p`.
 * @param p above 0 and below 1
 * @param freedom degrees of freedom, a whole number from 1
 * @throws RangeError otherwise
 */
export function studentQuantile(p: number, freedom: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`a share must be above 0 and below 1, not ${p}`);
  if (!Number.isSafeInteger(freedom) || freedom < 1) throw new RangeError('degrees of freedom are whole, from 1');
  const nu = Math.min(freedom, MOST_FREEDOM);
  const wanted = Math.abs(2 * p - 1);
  let low = 0;
  let high = Math.PI / 2;
  // Halving the angle's interval until floating point has no number between.
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (shareWithin(middle, nu) < wanted) low = middle;
    else high = middle;
  }
  return Math.sign(p - 0.5) * Math.sqrt(nu) * Math.tan(low);
}
