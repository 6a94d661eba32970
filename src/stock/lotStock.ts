/** What is known of one lot from the facts: what it holds, how it came, and whether it may be used. */
import type { Fact, LotReceived } from '../facts/fact.ts';
import { type Holding, type Move, moved, movesOf, UNTOUCHED } from './moves.ts';

export interface LotStock {
  readonly ingredient: string;
  readonly lot: string;
  readonly holding: Holding;
  /** null for a lot of the workshop file. */
  readonly received: LotReceived | null;
  /** Why no batch may use it; null when one may. */
  readonly blocked: string | null;
}

/** One key for an ingredient and a lot: two suppliers may number their lots alike. */
export function lotKey(ingredient: string, lot: string): string {
  return JSON.stringify([ingredient, lot]);
}

export function noStock(ingredient: string, lot: string): LotStock {
  return { ingredient, lot, holding: UNTOUCHED, received: null, blocked: null };
}

/** A lot after a fact about its papers; the same when the fact is about something else. */
export function noted(stock: LotStock, fact: Fact): LotStock {
  switch (fact.kind) {
    case 'lot-received': {
      const { ingredient, lot, amount, pricePerKg, expires, supplierLot, certificate, jar } = fact;
      return { ...stock, received: { ingredient, lot, amount, pricePerKg, expires, supplierLot, certificate, jar } };
    }
    case 'lot-blocked':
      return { ...stock, blocked: fact.reason };
    case 'lot-released':
      return { ...stock, blocked: null };
    default:
      return stock;
  }
}

/** Whether nothing of it will ever be used again, so that it need not be looked at: found empty, or received and used up. */
export function isGone({ holding, received }: LotStock): boolean {
  return holding.balance === 0 && (!holding.counted || received !== null);
}

/** Whether no fact that stands says anything of it: the same as one that no fact names. */
export function isBlank({ holding, received, blocked }: LotStock): boolean {
  const { counted, balance, used } = holding;
  return counted && balance === 0 && used === 0 && received === null && blocked === null;
}

export interface Counted {
  readonly lots: ReadonlyMap<string, LotStock>;
  readonly moves: readonly (Move & { readonly batch: string })[];
}

/**
 * Counts all stock from all facts, however many: the slow way, which the kept summary must agree with.
 * @param batches the facts of the log by batch id, each in order
 */
export function countStock(batches: ReadonlyMap<string, readonly Fact[]>): Counted {
  const lots = new Map<string, LotStock>();
  const change = (ingredient: string, lot: string, how: (stock: LotStock) => LotStock) => {
    const key = lotKey(ingredient, lot);
    lots.set(key, how(lots.get(key) ?? noStock(ingredient, lot)));
  };
  const moves = [...batches].flatMap(([batch, facts]) => movesOf(facts).map((move) => ({ ...move, batch })));
  moves.sort((a, b) => a.seq - b.seq);
  for (const move of moves) {
    change(move.ingredient, move.lot, (stock) => ({ ...stock, holding: moved(stock.holding, move) }));
  }
  for (const facts of batches.values()) {
    for (const fact of facts) {
      if (fact.kind === 'lot-received' || fact.kind === 'lot-blocked' || fact.kind === 'lot-released') {
        change(fact.ingredient, fact.lot, (stock) => noted(stock, fact));
      }
    }
  }
  for (const [key, stock] of lots) if (isBlank(stock)) lots.delete(key);
  return { lots, moves };
}
