/**
 * A draw in several weighings of one lot, because no cup or vessel holds it all. As few parts as the room asks for, and
 * equal ones, so that each is as well weighed as the others.
 */
import { type Mass, mass, sumOf } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Piece } from './lots.ts';
import type { Margins } from './plannedBand.ts';

/** More weighings of one ingredient than this are not asked of anyone; a smaller batch or a larger vessel is. */
export const MOST_PARTS = 4;

/**
 * The most that a part may come to: the whole margin above; and the last one makes up what the parts before it may have
 * fallen short of.
 */
export function mostOfPart(amounts: readonly Mass[], index: number, { under, over }: Margins): Mass {
  const earlier = index === amounts.length - 1 ? index : 0;
  return mass((amounts[index] ?? 0) + over + earlier * under);
}

/** Cuts each piece into so many equal parts, which add up to it exactly. What the lot holds goes down with each. */
export function cutEvenly(pieces: readonly Piece[], counts: readonly number[]): Piece[] {
  return pieces.flatMap((piece, index) => {
    const shares = Array.from({ length: counts[index] ?? 1 }, () => 1);
    return cutInto(piece, splitByShares(piece.amount, shares));
  });
}

function cutInto({ lot, onHand }: Piece, amounts: readonly Mass[]): Piece[] {
  return amounts.map((amount, index) => {
    return { lot, amount, onHand: mass(onHand - sumOf(amounts.slice(0, index))) };
  });
}

/**
 * Cuts pieces so that every part has room.
 * @param hasRoom whether so much may lie in it
 * @returns undefined when even the most parts would be too large
 */
export function cutForRoom(
  pieces: readonly Piece[],
  margins: Margins,
  hasRoom: (most: Mass) => boolean,
): Piece[] | undefined {
  for (let parts = pieces.length; parts <= Math.max(MOST_PARTS, pieces.length); parts++) {
    const counts = pieces.map(({ amount }, index) => {
      const late = index === pieces.length - 1 ? (parts - 1) * margins.under : 0;
      const fits = (count: number) =>
        hasRoom(mass(Math.ceil(amount / count) + margins.over)) &&
        hasRoom(mass(Math.floor(amount / count) + margins.over + late));
      let count = 1;
      while (count <= parts && !fits(count)) count += 1;
      return count;
    });
    if (counts.reduce((sum, count) => sum + count, 0) <= parts) return cutEvenly(pieces, counts);
  }
  return undefined;
}

/** A part with the place (by its index) that it goes to. */
export interface PlacedPiece {
  readonly piece: Piece;
  readonly place: number;
}

/**
 * Shares pieces out over several places, in order, each place getting its quota.
 * @param quotas they add up to the pieces
 */
export function shareOut(pieces: readonly Piece[], quotas: readonly Mass[]): PlacedPiece[] {
  const placed: PlacedPiece[] = [];
  let place = 0;
  let room: number = quotas[0] ?? 0;
  for (const piece of pieces) {
    let left: number = piece.amount;
    while (left > 0 && place < quotas.length) {
      const amount = Math.min(left, room);
      if (amount > 0) {
        const onHand = mass(piece.onHand - (piece.amount - left));
        placed.push({ piece: { lot: piece.lot, amount: mass(amount), onHand }, place });
      }
      left -= amount;
      room -= amount;
      if (room === 0) {
        place += 1;
        room = quotas[place] ?? 0;
      }
    }
  }
  return placed;
}
