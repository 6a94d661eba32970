/**
 * Division of whole numbers under a named rounding rule.
 *
 * - `half-even`: to the nearest; a tie goes to the even neighbour (no bias over many values).
 * - `half-away`: to the nearest; a tie goes away from zero (what scales and people do).
 * - `up`: towards plus infinity. `down`: towards minus infinity.
 */
export type Rounding = 'half-even' | 'half-away' | 'up' | 'down';

/**
 * `numerator / denominator`, rounded once.
 * @throws RangeError when the denominator is not positive
 */
export function divideRounded(numerator: bigint, denominator: bigint, rounding: Rounding): bigint {
  if (denominator <= 0n) throw new RangeError('a denominator must be positive');
  let floor = numerator / denominator;
  let rest = numerator % denominator;
  if (rest < 0n) {
    floor -= 1n;
    rest += denominator;
  }
  if (rest === 0n) return floor;
  switch (rounding) {
    case 'down':
      return floor;
    case 'up':
      return floor + 1n;
    case 'half-even':
    case 'half-away': {
      const twice = rest * 2n;
      if (twice < denominator) return floor;
      if (twice > denominator) return floor + 1n;
      if (rounding === 'half-even') return floor % 2n === 0n ? floor : floor + 1n;
      return numerator < 0n ? floor : floor + 1n;
    }
  }
}
