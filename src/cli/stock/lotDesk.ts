/** What the workshop's file and its stock tell of a lot: its papers, what is left, what it is mixed of. */
import type { StockLook } from '../../records/stockLook.ts';
import type { LotName } from '../../records/trace/look.ts';
import { type LotDesk, type LotPapers, NO_PAPERS } from '../../records/trace/report.ts';
import { bookOf } from '../../stock/stocked.ts';
import type { Ingredient, Lot, Workshop } from '../../workshop/model.ts';

/** @param workshop undefined where there is only a log */
export function lotDesk(workshop: Workshop | undefined, stock: StockLook): LotDesk {
  const inFile = ({ ingredient, lot }: LotName): Lot | undefined =>
    workshop?.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot);
  let received: ReadonlyMap<string, readonly string[]> | undefined;
  /** Lots that the workshop knows of an ingredient; looked up once. */
  const lotsOf = ({ id, lots }: Ingredient): string[] => {
    received ??= byIngredient(stock);
    return [...new Set([...lots.map((lot) => lot.id), ...(received.get(id) ?? [])])];
  };
  return {
    nameOf: (ingredient) => workshop?.ingredients.get(ingredient)?.name,
    isMixed: (ingredient) => partsOf(workshop?.ingredients.get(ingredient)).length > 0,
    papersOf: (lot) => papersOf(lot, stock, inFile(lot)),
    mixturesOf(ingredient) {
      const mixed = [...(workshop?.ingredients.values() ?? [])].filter((each) => partsOf(each).includes(ingredient));
      return mixed.flatMap((each) => lotsOf(each).map((lot) => ({ ingredient: each.id, lot, name: each.name })));
    },
  };
}

/** Ingredients of the workshop that an ingredient is made of, by itself or in one of its lots. */
function partsOf(ingredient: Ingredient | undefined): string[] {
  if (!ingredient) return [];
  const all = [ingredient, ...ingredient.lots].flatMap(({ madeOf }) => madeOf ?? []);
  return all.flatMap((part) => ('of' in part ? [part.of] : []));
}

function byIngredient(stock: StockLook): Map<string, string[]> {
  const lots = new Map<string, string[]>();
  for (const { ingredient, lot } of stock.all()) lots.set(ingredient, [...(lots.get(ingredient) ?? []), lot]);
  return lots;
}

function papersOf({ ingredient, lot }: LotName, stock: StockLook, inFile: Lot | undefined): LotPapers {
  const known = stock.lot(ingredient, lot);
  const { received, blocked } = known;
  if (received === null && inFile === undefined) return { ...NO_PAPERS, blocked };
  return {
    supplierLot: received ? received.supplierLot : (inFile?.supplierLot ?? null),
    certificate: received?.certificate ?? null,
    expires: received ? received.expires : (inFile?.expires ?? null),
    left: bookOf(known, inFile),
    blocked,
  };
}

/** Lots of the workshop's file by their own code or their supplier's, capitals or not. */
export function lotsByCode(workshop: Workshop | undefined, code: string): LotName[] {
  const wanted = code.toUpperCase();
  return [...(workshop?.ingredients.values() ?? [])].flatMap(({ id, lots }) =>
    lots
      .filter((lot) => lot.id.toUpperCase() === wanted || lot.supplierLot?.toUpperCase() === wanted)
      .map((lot) => ({ ingredient: id, lot: lot.id })),
  );
}
