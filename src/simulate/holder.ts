/** Things that hold material: vessels, jars, lots, a spoon, the bin. Material only ever moves; it never appears or vanishes. */
import { lesser, type Mass, mass, minus, plus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';

export interface Holder {
  readonly id: string;
  /** Its own weight, clean and empty. */
  readonly tare: Mass;
  /** True mass held, by the lot it came from. */
  readonly contents: Map<string, Mass>;
}

export function createHolder(id: string, tare: Mass = ZERO): Holder {
  return { id, tare, contents: new Map() };
}

/** True mass of all that it holds. */
export function contentOf(holder: Holder): Mass {
  return sumOf(holder.contents.values());
}

/** True mass of the holder with its content. */
export function grossOf(holder: Holder): Mass {
  return plus(holder.tare, contentOf(holder));
}

/**
 * Moves an amount (at most what is there) from one holder to another, each lot in proportion to its share.
 * @returns what was really moved
 * @throws RangeError when the amount is negative
 */
export function move(from: Holder, to: Holder, amount: Mass): Mass {
  if (amount < 0) throw new RangeError('only a mass of zero or more can be moved');
  const moved = lesser(amount, contentOf(from));
  if (moved === 0 || from === to) return ZERO;
  const lots = [...from.contents.keys()];
  const pieces = splitByShares(moved, [...from.contents.values()]);
  for (const [index, lot] of lots.entries()) {
    const piece = pieces[index] ?? mass(0);
    const left = minus(from.contents.get(lot) ?? ZERO, piece);
    if (left === 0) from.contents.delete(lot);
    else from.contents.set(lot, left);
    if (piece > 0) to.contents.set(lot, plus(to.contents.get(lot) ?? ZERO, piece));
  }
  return moved;
}

/**
 * Moves an amount (at most what is there) of one lot alone: it still lies as a heap of its own.
 * @returns what was really moved
 * @throws RangeError when the amount is negative
 */
export function moveLot(from: Holder, to: Holder, lot: string, amount: Mass): Mass {
  if (amount < 0) throw new RangeError('only a mass of zero or more can be moved');
  const there = from.contents.get(lot) ?? ZERO;
  const moved = lesser(amount, there);
  if (moved === 0 || from === to) return ZERO;
  if (moved === there) from.contents.delete(lot);
  else from.contents.set(lot, minus(there, moved));
  to.contents.set(lot, plus(to.contents.get(lot) ?? ZERO, moved));
  return moved;
}
