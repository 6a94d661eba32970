/** Exact fractions of whole numbers, for shares that no decimal number holds: 34 parts of 106.5. */

/** `n / d`, in lowest terms, with `d` above zero. */
export interface Fraction {
  readonly n: bigint;
  readonly d: bigint;
}

function gcd(a: bigint, b: bigint): bigint {
  let [x, y] = [a < 0n ? -a : a, b];
  while (y !== 0n) [x, y] = [y, x % y];
  return x;
}

/** `n / d` in lowest terms. @throws RangeError when the denominator is zero */
export function fraction(n: bigint, d: bigint): Fraction {
  if (d === 0n) throw new RangeError('a denominator must not be zero');
  const by = gcd(n, d < 0n ? -d : d) * (d < 0n ? -1n : 1n);
  return { n: n / by, d: d / by };
}

export const NONE: Fraction = { n: 0n, d: 1n };
export const ONE: Fraction = { n: 1n, d: 1n };

export function added(a: Fraction, b: Fraction): Fraction {
  return fraction(a.n * b.d + b.n * a.d, a.d * b.d);
}

/** `from - taken`, which may be negative. */
export function lessBy(from: Fraction, taken: Fraction): Fraction {
  return fraction(from.n * taken.d - taken.n * from.d, from.d * taken.d);
}

export function times(a: Fraction, b: Fraction): Fraction {
  return fraction(a.n * b.n, a.d * b.d);
}

/** `a / by`. @throws RangeError when `by` is zero */
export function dividedBy(a: Fraction, by: Fraction): Fraction {
  return fraction(a.n * by.d, a.d * by.n);
}

export function isEqual(a: Fraction, b: Fraction): boolean {
  return a.n === b.n && a.d === b.d;
}

export function sumOfFractions(parts: Iterable<Fraction>): Fraction {
  let total = NONE;
  for (const part of parts) total = added(total, part);
  return total;
}

/** The smallest whole number that is a multiple of both. Both above zero. */
export function leastMultiple(a: bigint, b: bigint): bigint {
  return (a / gcd(a, b)) * b;
}
