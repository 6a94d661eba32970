/**
 * The workshop with its lots as they are now. The workshop file says what its lots held when they were entered; what
 * was received later, what batches took, and what was found when a jar was weighed are facts in the log.
 */
import type { LotReceived } from '../facts/fact.ts';
import { greater, type Mass, ZERO } from '../mass/mass.ts';
import type { Ingredient, Lot, Workshop } from '../workshop/model.ts';
import type { LotStock } from './lotStock.ts';
import { leftOf } from './moves.ts';

/** What is asked of the log about stock. */
export interface LotFacts {
  /** One lot; as if untouched when no fact names it. */
  lot(ingredient: string, lot: string): LotStock;
  /** Lots of an ingredient that facts know of and that are not used up. */
  there(ingredient: string): LotStock[];
}

/** What a lot holds by the book: the file's amount at first, and the facts since. Below 0 only in an older log. */
export function bookOf(stock: LotStock, inFile: Pick<Lot, 'onHand'> | undefined): Mass {
  return leftOf(stock.holding, stock.received === null ? (inFile?.onHand ?? ZERO) : ZERO);
}

/** A lot as the planner sees it: as the file says, or as it was received, with what it holds now. */
export function lotNow(stock: LotStock, inFile: Lot | undefined): Lot {
  const { received, blocked } = stock;
  const papers = received ? asReceived(received) : inFile;
  return {
    id: stock.lot,
    expires: undefined,
    pricePerKg: undefined,
    jar: undefined,
    ...papers,
    onHand: greater(bookOf(stock, inFile), ZERO),
    ...(blocked === null ? {} : { blocked }),
  };
}

function asReceived({ expires, pricePerKg, jar, supplierLot }: LotReceived): Omit<Lot, 'id' | 'onHand'> {
  return {
    expires: expires ?? undefined,
    pricePerKg: pricePerKg === null ? undefined : Number(pricePerKg),
    jar: jar ?? undefined,
    ...(supplierLot === null ? {} : { supplierLot }),
  };
}

/** All lots of an ingredient that may still hold something: those of the file, then those received later. */
export function lotsNow({ id, lots }: Pick<Ingredient, 'id' | 'lots'>, facts: LotFacts): Lot[] {
  const inFile = new Set(lots.map((lot) => lot.id));
  const later = facts.there(id).filter(({ lot, received }) => received !== null && !inFile.has(lot));
  return [...lots.map((lot) => lotNow(facts.lot(id, lot.id), lot)), ...later.map((stock) => lotNow(stock, undefined))];
}

/**
 * The workshop as it stands now, for planning and weighing.
 * @param only ingredients that are looked at; the others keep what the file says. All when left out.
 */
export function stocked(workshop: Workshop, facts: LotFacts, only?: ReadonlySet<string>): Workshop {
  const ingredients = [...workshop.ingredients].map(([id, ingredient]): [string, Ingredient] => {
    if (only && !only.has(id)) return [id, ingredient];
    return [id, { ...ingredient, lots: lotsNow(ingredient, facts) }];
  });
  return { ...workshop, ingredients: new Map(ingredients) };
}
