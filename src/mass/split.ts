/** Dividing a mass by shares so that the pieces add up to it exactly. */
import { type Mass, mass } from './mass.ts';

/**
 * Splits a mass in proportion to whole-number shares by the largest-remainder rule (Hamilton's method): each piece
 * gets its share rounded down, and the micrograms left over go one each to the largest remainders, earlier pieces
 * first among equals. No piece is off its exact share by a microgram or more.
 * @param total the mass to split, not negative
 * @param shares whole numbers, not negative, at least one above zero (e.g. parts per million)
 * @throws RangeError when a share is not a whole number of zero or more, or all are zero
 */
export function splitByShares(total: Mass, shares: readonly number[]): Mass[] {
  if (total < 0) throw new RangeError('only a mass of zero or more can be split');
  for (const share of shares) {
    if (!Number.isSafeInteger(share) || share < 0) throw new RangeError(`a share must be a whole number, not ${share}`);
  }
  return splitWhole(BigInt(total), shares.map(BigInt)).map((ug) => mass(Number(ug)));
}

/** The same rule for whole numbers of any size. @throws RangeError when one is negative, or all shares are zero */
export function splitWhole(total: bigint, shares: readonly bigint[]): bigint[] {
  const sum = shares.reduce((all, share) => all + share, 0n);
  if (total < 0n || shares.some((share) => share < 0n)) throw new RangeError('nothing negative can be split');
  if (sum === 0n) throw new RangeError('at least one share must be above zero');
  const pieces = shares.map((share, index) => {
    const product = total * share;
    return { index, floor: product / sum, rest: product % sum };
  });
  let left = total - pieces.reduce((done, piece) => done + piece.floor, 0n);
  const result = pieces.map((piece) => piece.floor);
  for (const piece of [...pieces].sort((a, b) => (a.rest === b.rest ? a.index - b.index : a.rest < b.rest ? 1 : -1))) {
    if (left === 0n) break;
    result[piece.index] = (result[piece.index] ?? 0n) + 1n;
    left -= 1n;
  }
  return result;
}
