/** `bismar stock`: what is there. */
import { cleanText } from '../../facts/cleanText.ts';
import { ZERO } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import { byExpiry, isExpired } from '../../plan/lots.ts';
import { openNeeds } from '../../records/openNeeds.ts';
import { safeJson } from '../../records/safeJson.ts';
import type { StockLook } from '../../records/stockLook.ts';
import { grams } from '../../stock/lotLine.ts';
import type { LotStock } from '../../stock/lotStock.ts';
import type { Needed } from '../../stock/stillNeeded.ts';
import { bookOf, lotNow } from '../../stock/stocked.ts';
import type { Ingredient, Lot } from '../../workshop/model.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { type BenchesOption, readingAll } from '../shared/benchesAsked.ts';
import { withLog } from '../withLog.ts';
import { ingredientNamed, today } from './lot.ts';
import { editsNow, lookAtStock, neededNow } from './stockNow.ts';

export interface StockOptions extends BenchesOption {
  /** Lots that are used up too. */
  readonly all?: boolean | undefined;
  readonly json?: boolean | undefined;
  /** Count stock anew from all facts. */
  readonly rebuild?: boolean | undefined;
}

interface Row {
  readonly lot: Lot;
  readonly stock: LotStock;
  readonly inFile: Lot | undefined;
  /** What open batches are still to take of it. */
  readonly needed: readonly Needed[];
}

function rowsOf({ id, lots }: Ingredient, look: StockLook, open: readonly Needed[], all: boolean): Row[] {
  const inFile = new Map(lots.map((lot) => [lot.id, lot]));
  const later = all ? look.all().filter(({ ingredient }) => ingredient === id) : look.there(id);
  const codes = new Set([...inFile.keys(), ...later.map(({ lot }) => lot)]);
  const rows = [...codes].map((code): Row => {
    const stock = look.lot(id, code);
    const needed = open.filter(({ ingredient, lot }) => ingredient === id && lot === code);
    return { stock, inFile: inFile.get(code), lot: lotNow(stock, inFile.get(code)), needed };
  });
  const there = rows.filter(({ stock, inFile: own }) => all || bookOf(stock, own) !== 0);
  return there.sort((a, b) => byExpiry(a.lot, b.lot));
}

function line({ lot, stock, inFile, needed }: Row, day: string): string {
  const book = bookOf(stock, inFile);
  const until =
    lot.expires === undefined ? '' : isExpired(lot, day) ? `EXPIRED ${lot.expires}` : `until ${lot.expires}`;
  const notes = [
    until,
    ...(stock.blocked === null ? [] : [`BLOCKED: ${stock.blocked}`]),
    ...needed.map(({ batch, amount }) => `${grams(amount)} of it still for batch ${batch}`),
    ...(book < 0 ? ['more was weighed than the book had: weigh the jar (stock take)'] : []),
  ].filter((note) => note !== '');
  return `  ${lot.id.padEnd(12)} ${grams(book).padStart(14)}  ${notes.join('; ')}`.trimEnd();
}

function data({ lot, stock, inFile, needed }: Row) {
  const { received, holding, blocked } = stock;
  const book = bookOf(stock, inFile);
  const first = received?.amount ?? inFile?.onHand ?? ZERO;
  return {
    lot: lot.id,
    left_g: exactGrams(book),
    first_g: exactGrams(first),
    used_g: exactGrams(holding.used),
    // What weighing the jar, or finding it empty, made of the book.
    corrected_g: exactGrams((book - first + holding.used) as typeof book),
    expires: lot.expires ?? null,
    price_per_kg: received ? received.pricePerKg : lot.pricePerKg === undefined ? null : String(lot.pricePerKg),
    supplier_lot: received?.supplierLot ?? null,
    certificate: received?.certificate ?? null,
    jar: lot.jar ?? null,
    blocked,
    // What open batches are still to take; not yet off `left_g`.
    needed: needed.map(({ batch, amount }) => ({ batch, needed_g: exactGrams(amount) })),
  };
}

export async function stock(only: string | undefined, options: StockOptions): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  if (options.rebuild) {
    await withLog(options.in, async (log) => {
      log.countStockAnew();
      return EXIT.done;
    });
    process.stdout.write('Stock was counted anew from all facts.\n');
  }
  const wanted = only === undefined ? [...workshop.ingredients.values()] : [ingredientNamed(workshop, only)];
  const day = today();
  const find = (open: readonly Needed[]) => (look: StockLook) =>
    wanted.map((ingredient) => ({ ingredient, rows: rowsOf(ingredient, look, open, options.all === true) }));
  const found = options.allBenches
    ? await readingAll(options.in, (log) => log.stock(find(openNeeds(log))))
    : lookAtStock(options.in, find(neededNow(options.in)));
  if (options.json) {
    const list = found.map(({ ingredient: { id, name }, rows }) => ({ ingredient: id, name, lots: rows.map(data) }));
    process.stdout.write(`${safeJson(list, 2)}\n`);
    return EXIT.done;
  }
  // Across benches each has a file of its own.
  const notes = options.allBenches ? [] : editsNow(options.in, wanted);
  for (const { ingredient, rows } of found) {
    const lines = rows.length === 0 ? ['  nothing'] : rows.map((row) => line(row, day));
    const edits = notes.filter(([id]) => id === ingredient.id).map(([, say]) => `  ! ${say}`);
    process.stdout.write(`${[ingredient.name, ...lines, ...edits].map(cleanText).join('\n')}\n`);
  }
  return EXIT.done;
}
