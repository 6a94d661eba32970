/** Mean and spread of masses. Masses are whole micrograms, so the sums behind both are exact, whatever their size. */
import type { Mass } from '../mass/mass.ts';

export interface Spread {
  readonly n: number;
  /** Micrograms, the nearest floating-point number to the exact mean. */
  readonly mean: number;
  /** Sample standard deviation, by n - 1; micrograms. */
  readonly s: number;
}

/**
 * Mean and sample standard deviation: `s^2 = (n sum x^2 - (sum x)^2) / (n (n - 1))`. In floating point this form loses
 * all digits of a small spread on a large mean; in whole numbers it loses none.
 * @returns undefined for fewer than two masses, which have no spread
 */
export function spreadOf(masses: readonly Mass[]): Spread | undefined {
  const n = masses.length;
  if (n < 2) return undefined;
  let sum = 0n;
  let squares = 0n;
  for (const each of masses) {
    const x = BigInt(each);
    sum += x;
    squares += x * x;
  }
  const count = BigInt(n);
  const above = count * squares - sum * sum;
  return { n, mean: ratio(sum, count), s: rootOfRatio(above, count * (count - 1n)) };
}

/** Micrograms; undefined of nothing. */
export function meanOf(masses: readonly Mass[]): number | undefined {
  if (masses.length === 0) return undefined;
  return ratio(
    masses.reduce((sum, each) => sum + BigInt(each), 0n),
    BigInt(masses.length),
  );
}

/** A quotient of whole numbers; the whole part is exact, and the fraction good to 2^-40. */
function ratio(above: bigint, below: bigint): number {
  const FINE = 1n << 40n;
  const whole = above / below;
  return Number(whole) + Number(((above - whole * below) * FINE) / below) / Number(FINE);
}

/** The square root of a quotient of whole numbers, good to a floating-point number. */
function rootOfRatio(above: bigint, below: bigint): number {
  // Scaled by an even power of two, so that both fit and the quotient keeps 53 bits and more.
  const SHIFT = 128n;
  return Math.sqrt(Number((above << SHIFT) / below)) / 2 ** 64;
}
