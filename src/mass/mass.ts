/**
 * Mass as a whole number of micrograms.
 *
 * Whole numbers add up exactly; decimal grams in floating point do not. A JavaScript number holds every whole
 * number up to 2^53, that is 9 007 t in micrograms, so a plain number is enough and stays fast.
 */
declare const micrograms: unique symbol;

/** A mass (or a difference of masses, so it may be negative) in whole micrograms. */
export type Mass = number & { readonly [micrograms]: true };

/**
 * Makes a Mass from a number of micrograms.
 * @param ug whole micrograms, at most 2^53 - 1 either side of zero
 * @throws RangeError when the number is not whole or too large to be exact
 */
export function mass(ug: number): Mass {
  if (!Number.isSafeInteger(ug)) {
    throw new RangeError(`a mass must be a whole number of micrograms below 2^53, not ${ug}`);
  }
  return (ug === 0 ? 0 : ug) as Mass; // no negative zero: it would print as "-0"
}

/** No mass at all. */
export const ZERO: Mass = mass(0);

/** The sum of masses; exact. @throws RangeError past 2^53 */
export function plus(...parts: readonly Mass[]): Mass {
  let total = 0;
  for (const part of parts) total = mass(total + part);
  return mass(total);
}

/** `from - taken`; exact, may be negative. @throws RangeError past 2^53 */
export function minus(from: Mass, taken: Mass): Mass {
  return mass(from - taken);
}

/** The sum of a list of masses; exact. @throws RangeError past 2^53 */
export function sumOf(parts: Iterable<Mass>): Mass {
  let total = 0;
  for (const part of parts) total = mass(total + part);
  return mass(total);
}

/** The size of a mass without its sign. */
export function size(of: Mass): Mass {
  return mass(Math.abs(of));
}

/** The smaller of two masses. */
export function lesser(a: Mass, b: Mass): Mass {
  return a <= b ? a : b;
}

/** The larger of two masses. */
export function greater(a: Mass, b: Mass): Mass {
  return a >= b ? a : b;
}
