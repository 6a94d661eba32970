/** `bismar lot`: deliveries, blocks, and which lot is to be used first. */
import { typedDigits } from '../../bring/cellNumber.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { type Happened, type LotReceived, STOCK } from '../../facts/fact.ts';
import { type Mass, ZERO } from '../../mass/mass.ts';
import { readDecimal, readMassWithUnit } from '../../mass/text.ts';
import { allotLots, isUsable } from '../../plan/lots.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { stamp } from '../../records/stamp.ts';
import type { StockLook } from '../../records/stockLook.ts';
import { readGs1 } from '../../stock/gs1.ts';
import { grams } from '../../stock/lotLine.ts';
import { lotsNow } from '../../stock/stocked.ts';
import type { Ingredient, Lot, Workshop } from '../../workshop/model.ts';
import { nearest } from '../../workshop/nearest.ts';
import { isDay, lotCode } from '../../workshop/quantities.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { factLine } from '../weigh/factLine.ts';
import { operator, withLog } from '../withLog.ts';
import { lookAtStock } from './stockNow.ts';

interface InFolder {
  readonly in: string;
  readonly by?: string | undefined;
}

export interface ReceiveOptions extends InFolder {
  readonly price?: string | undefined;
  readonly expires?: string | undefined;
  readonly supplierLot?: string | undefined;
  readonly certificate?: string | undefined;
  readonly jar?: string | undefined;
  /** The batch that it was made in. */
  readonly madeIn?: string | undefined;
  /** A label with GS1 element strings: lot, last day and net weight are taken from it where they are not given. */
  readonly label?: string | undefined;
}

function wrongUse(say: string): Ending {
  return new Ending(EXIT.wrongUse, `${say} Nothing was recorded.`);
}

export function today(): string {
  return stamp(new Date()).slice(0, 10);
}

/** An ingredient of the workshop by its id. @throws Ending with the nearest when there is none */
export function ingredientNamed({ ingredients }: Workshop, id: string): Ingredient {
  const found = ingredients.get(id);
  if (found) return found;
  const near = nearest(id, [...ingredients.keys()]);
  const hint = near === undefined ? '' : ` Did you mean ${near}?`;
  throw wrongUse(`There is no ingredient "${cleanText(id).slice(0, 40)}" in the workshop file.${hint}`);
}

/** A lot's code that is safe to be part of a file's name too. */
function newCode(text: string): string {
  if (lotCode.safeParse(text).success && !/[/:]/.test(text) && !text.includes('..')) return text;
  throw wrongUse(
    `"${cleanText(text).slice(0, 40)}" can not be a lot's code here: letters, digits, blanks and . _ # + ( ) - , at most 32, such as CA-2207. (The supplier's own code goes into --supplier-lot.)`,
  );
}

function priceFrom(text: string | undefined): string | null {
  if (text === undefined) return null;
  const plain = typedDigits(text) ?? '';
  if (/^\d{1,3},\d{3}$/.test(text)) {
    throw wrongUse(`--price ${text} can be read in two ways: ${text.replace(',', '.')} or ${text.replace(',', '')}?`);
  }
  const read = readDecimal(plain);
  if (read && read.digits >= 0n && read.scale <= 6 && /^\d{1,7}(\.\d+)?$/.test(plain)) return plain;
  throw wrongUse('--price wants the price of a kilogram as a plain number, such as 13.80.');
}

function dayFrom(text: string | undefined): string | null {
  if (text === undefined) return null;
  if (isDay(text)) return text;
  throw wrongUse('--expires wants the last day of use, such as 2027-01-31.');
}

function supplierCode(text: string | undefined): string | null {
  if (text === undefined) return null;
  const clean = text.trim();
  if (clean !== '' && clean.length <= 40 && cleanText(clean) === clean) return clean;
  throw wrongUse('--supplier-lot wants the code that stands on the label, at most 40 characters, all of them visible.');
}

/** The name of a file and no way to another folder. */
function fileName(text: string | undefined): string | null {
  if (text === undefined) return null;
  const isPlain =
    cleanText(text) === text && /^[^./\\:*?"<>|\s][^/\\:*?"<>|]{0,119}$/.test(text) && !/[. ]$/.test(text);
  if (isPlain) return text;
  throw wrongUse('--certificate wants the name of a file, without its folder, such as shea-2026.pdf.');
}

function jarFrom(workshop: Workshop, text: string | undefined): string | null {
  if (text === undefined) return null;
  if (workshop.vessels.has(text)) return text;
  throw wrongUse(`There is no vessel "${cleanText(text).slice(0, 40)}" in the workshop file; --jar wants one of them.`);
}

interface FromLabel {
  readonly lot?: string | undefined;
  readonly expires?: string | undefined;
  readonly net?: Mass | undefined;
}

function fromLabel(text: string | undefined): FromLabel {
  if (text === undefined) return {};
  const read = readGs1(text, Number(today().slice(0, 4)));
  if (!read.ok) throw wrongUse(read.why);
  return read.label;
}

function receivedFrom(
  workshop: Workshop,
  [ingredient, lot, amount]: readonly [string, string | undefined, string | undefined],
  options: ReceiveOptions,
): LotReceived {
  const label = fromLabel(options.label);
  const code = lot ?? label.lot;
  if (code === undefined) throw wrongUse('Which lot? Say its code, such as `lot receive glycerin GL-31 5kg`.');
  const mass = amount === undefined ? label.net : readMassWithUnit(amount);
  if (mass === undefined || mass <= 0) {
    throw wrongUse('How much is it? Say the weight of the content with its unit, such as 5kg or 250g.');
  }
  return {
    ingredient: ingredientNamed(workshop, ingredient).id,
    lot: newCode(code),
    amount: mass,
    pricePerKg: priceFrom(options.price),
    expires: dayFrom(options.expires) ?? label.expires ?? null,
    supplierLot: supplierCode(options.supplierLot ?? (label.lot === code ? undefined : label.lot)),
    certificate: fileName(options.certificate),
    jar: jarFrom(workshop, options.jar),
  };
}

/** Records a fact about stock and tells it. */
export async function recordStock(
  folder: string,
  by: string,
  make: (lots: LotsNow, log: BatchLog) => Happened,
): Promise<ExitCode> {
  const workshop = loadWorkshop(folder);
  return withLog(folder, async (log) => {
    const happened = make((ingredient) => log.stock((stock) => allLotsNow(ingredient, stock)), log);
    const [fact] = await log.append(STOCK, operator(workshop, by === '' ? undefined : by), [happened]);
    if (fact) process.stdout.write(`${factLine(fact, undefined)}\n`);
    return EXIT.done;
  });
}

/** All lots of an ingredient, those used up too. */
export type LotsNow = (ingredient: Ingredient) => Lot[];

export function allLotsNow(ingredient: Ingredient, stock: StockLook): Lot[] {
  return lotsNow(ingredient, {
    lot: (of, code) => stock.lot(of, code),
    there: (of) => stock.all().filter((each) => each.ingredient === of),
  });
}

/** A lot by its code. @throws Ending with those that there are */
export function lotNamed(ingredient: Ingredient, lots: readonly Lot[], code: string): Lot {
  const found = lots.find(({ id }) => id === code);
  if (found) return found;
  const near = nearest(
    code,
    lots.map(({ id }) => id),
  );
  throw wrongUse(
    `${ingredient.name} has no lot "${cleanText(code).slice(0, 40)}".${near === undefined ? '' : ` Did you mean ${near}?`}`,
  );
}

/** The batch that a lot was made in: as it was said, or the one of this formula that the lot is called by. */
function makingOf(log: BatchLog, { ingredient, lot }: LotReceived, said: string | undefined): { madeIn?: string } {
  if (said === undefined) {
    const own = log.list.one(lot);
    return own?.formula.id === ingredient ? { madeIn: own.id } : {};
  }
  const found = batchMeant(log, said);
  if (!found.ok) throw wrongUse(found.say);
  if (found.batch.status === 'open') {
    throw wrongUse(`Batch ${cleanText(found.batch.id)} is still open: what is not made yet can not be received.`);
  }
  return { madeIn: found.batch.id };
}

export function receive(
  ingredient: string,
  lot: string | undefined,
  amount: string | undefined,
  options: ReceiveOptions,
): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const received = receivedFrom(workshop, [ingredient, lot, amount], options);
  return recordStock(options.in, options.by ?? '', (lotsOf, log) => {
    const of = ingredientNamed(workshop, received.ingredient);
    if (lotsOf(of).some(({ id }) => id.toUpperCase() === received.lot.toUpperCase())) {
      throw wrongUse(
        `${of.name} has a lot ${received.lot} already. If more of the same lot came, give it a code of its own, such as ${received.lot}-b, with --supplier-lot ${received.lot}.`,
      );
    }
    return { kind: 'lot-received', ...received, ...makingOf(log, received, options.madeIn) };
  });
}

/** Blocks a lot, or releases it again. */
export function block(
  does: 'lot-blocked' | 'lot-released',
  ingredient: string,
  code: string,
  options: InFolder & { readonly why?: string | undefined },
): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const of = ingredientNamed(workshop, ingredient);
  const reason = cleanText(options.why ?? '')
    .trim()
    .slice(0, 200);
  if (reason === '') throw wrongUse('Say why, for whoever reads it later: --why "smells old".');
  return recordStock(options.in, options.by ?? '', (lotsOf) => {
    const lot = lotNamed(of, lotsOf(of), code);
    if (does === 'lot-blocked' && lot.blocked !== undefined) {
      throw wrongUse(`${of.name}, lot ${lot.id}, is blocked already (${lot.blocked}).`);
    }
    if (does === 'lot-released' && lot.blocked === undefined) {
      throw wrongUse(`${of.name}, lot ${lot.id}, is not blocked.`);
    }
    return { kind: does, ingredient: of.id, lot: lot.id, reason };
  });
}

/** Which lot to take next: the one that expires first. */
export async function next(ingredient: string, amount: string | undefined, options: { in: string }): Promise<ExitCode> {
  const of = ingredientNamed(loadWorkshop(options.in), ingredient);
  const wanted = amount === undefined ? undefined : readMassWithUnit(amount);
  if (amount !== undefined && (wanted === undefined || wanted <= 0)) {
    throw new Ending(EXIT.wrongUse, 'How much? Say a weight with its unit, such as 850g.');
  }
  const day = today();
  const lots = lookAtStock(options.in, (stock) => lotsNow(of, stock));
  const usable = lots.filter((lot) => lot.onHand > 0 && isUsable(lot, day));
  const stock = usable.map((lot) => ({ lot, onHand: lot.onHand }));
  const all = usable.reduce((sum, { onHand }) => sum + onHand, 0) as Mass;
  const allotted = allotLots(stock, wanted ?? all, ZERO, day);
  if (all === 0) throw new Ending(EXIT.failed, cleanText(`There is no ${of.name} that may be used.`));
  if (!allotted.ok) {
    throw new Ending(EXIT.failed, cleanText(`Of ${of.name} there are only ${grams(all)} that may be used.`));
  }
  for (const { lot, amount: part } of allotted.pieces) {
    const until = lot.expires === undefined ? 'does not expire' : `good until ${lot.expires}`;
    process.stdout.write(`${cleanText(`${lot.id}  ${grams(part)} of ${grams(lot.onHand)}, ${until}`)}\n`);
  }
  return EXIT.done;
}
