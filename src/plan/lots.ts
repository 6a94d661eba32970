/** Which lots a draw is taken from: none past its last day, none that is blocked, the one that ends first is used up first. */
import { lesser, type Mass, mass, minus } from '../mass/mass.ts';
import type { Lot } from '../workshop/model.ts';

/** Part of a draw, out of one lot. */
export interface Piece {
  readonly lot: Lot;
  readonly amount: Mass;
  /** What the lot should hold before, earlier draws of this batch taken off. */
  readonly onHand: Mass;
}

/** A lot with what is left of it. */
export interface Stock {
  readonly lot: Lot;
  readonly onHand: Mass;
}

export type Allotted =
  | { readonly ok: true; readonly pieces: readonly Piece[]; readonly passedOver: readonly Stock[] }
  | { readonly ok: false; readonly kind: 'short'; readonly short: Mass; readonly inDate: Mass }
  /** There is enough, but only in pieces too small to weigh. */
  | { readonly ok: false; readonly kind: 'crumbs' };

/** A lot may be used up to and on its last day. Days as `YYYY-MM-DD` compare as text. */
export function isExpired({ expires }: Lot, today: string): boolean {
  return expires !== undefined && expires < today;
}

/** Neither past its last day nor blocked. */
export function isUsable(lot: Lot, today: string): boolean {
  return lot.blocked === undefined && !isExpired(lot, today);
}

/** Lots in the order of use: the one that expires first, first; those that never expire last, by their codes. */
export function byExpiry(a: Lot, b: Lot): number {
  const [first, second] = [a.expires ?? '9999-99-99', b.expires ?? '9999-99-99'];
  if (first !== second) return first < second ? -1 : 1;
  return a.id < b.id ? -1 : a.id > b.id ? 1 : 0;
}

function take(from: readonly Stock[], target: Mass): Piece[] {
  let wanted = target;
  const pieces: Piece[] = [];
  for (const { lot, onHand } of from) {
    if (wanted === 0) break;
    const amount = lesser(onHand, wanted);
    pieces.push({ lot, amount, onHand });
    wanted = minus(wanted, amount);
  }
  return wanted === 0 ? pieces : [];
}

/**
 * Divides a draw over the lots in stock.
 * @param leastPiece no piece is smaller, when there are several; a lot that would make one is passed over
 * @param today the day of the batch, `YYYY-MM-DD`
 */
export function allotLots(stock: readonly Stock[], target: Mass, leastPiece: Mass, today: string): Allotted {
  const usable = stock
    .filter(({ lot, onHand }) => onHand > 0 && isUsable(lot, today))
    .sort((a, b) => byExpiry(a.lot, b.lot));
  const inDate = mass(usable.reduce((sum, { onHand }) => sum + onHand, 0));
  if (inDate < target) return { ok: false, kind: 'short', short: minus(target, inDate), inDate };

  const worthwhile = usable.filter(({ onHand }) => onHand >= lesser(leastPiece, target));
  // Without the first lot, then without the first two ...: as little is passed over as can be.
  for (let skipped = 0; skipped < worthwhile.length; skipped++) {
    const pieces = take(worthwhile.slice(skipped), target);
    if (pieces.length === 0) break;
    if (pieces.length > 1 && pieces.some(({ amount }) => amount < leastPiece)) continue;
    const last = usable.findIndex(({ lot }) => lot === pieces.at(-1)?.lot);
    const passedOver = usable.slice(0, last).filter(({ lot }) => !pieces.some((piece) => piece.lot === lot));
    return { ok: true, pieces, passedOver };
  }
  return { ok: false, kind: 'crumbs' };
}
