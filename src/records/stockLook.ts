/** What can be asked of stock. */
import { type Counted, isGone, type LotStock, lotKey, noStock } from '../stock/lotStock.ts';
import { holdingOf, type Move } from '../stock/moves.ts';

export interface StockLook {
  /** One lot; as if untouched when no fact names it. */
  lot(ingredient: string, lot: string): LotStock;
  /** Lots that facts know of and that are not used up, of one ingredient or of all. */
  there(ingredient?: string): LotStock[];
  /** All lots that facts know of, those used up too. */
  all(): LotStock[];
  /** All that came and went of a lot, in order. */
  moves(ingredient: string, lot: string): readonly (Move & { readonly batch: string })[];
  /** A lot as if a batch had not taken from it. */
  without(batch: string, ingredient: string, lot: string): LotStock;
}

/** The same, of stock that was counted just now. */
export function lookAt({ lots, moves }: Counted): StockLook {
  const all = () => [...lots.values()].sort((a, b) => compare(a.ingredient, b.ingredient) || compare(a.lot, b.lot));
  const lot = (ingredient: string, code: string) => lots.get(lotKey(ingredient, code)) ?? noStock(ingredient, code);
  return {
    lot,
    all,
    there: (ingredient) =>
      all().filter((each) => !isGone(each) && (ingredient === undefined || each.ingredient === ingredient)),
    moves: (ingredient, code) => moves.filter((move) => move.ingredient === ingredient && move.lot === code),
    without(batch, ingredient, code) {
      const others = moves.filter(
        (move) => move.ingredient === ingredient && move.lot === code && move.batch !== batch,
      );
      return { ...lot(ingredient, code), holding: holdingOf(others) };
    },
  };
}

/** No stock but what the workshop file says. */
export const NO_FACTS: StockLook = lookAt({ lots: new Map(), moves: [] });

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
