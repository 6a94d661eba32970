/** `bismar stock take`: a jar is weighed, and the book is put right by the difference. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { cleanText } from '../../facts/cleanText.ts';
import { STOCK } from '../../facts/fact.ts';
import { realClock } from '../../link/clock.ts';
import { greater, type Mass, minus, plus, ZERO } from '../../mass/mass.ts';
import { readMassWithUnit } from '../../mass/text.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { grams } from '../../stock/lotLine.ts';
import { bookOf } from '../../stock/stocked.ts';
import type { Ingredient, Lot, Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { createCheckPan, Left } from '../scale/checkPan.ts';
import { watchPan } from '../scale/panWatch.ts';
import { factLine } from '../weigh/factLine.ts';
import { openScales } from '../weigh/scales.ts';
import { operator, withLog } from '../withLog.ts';
import { allLotsNow, ingredientNamed, lotNamed } from './lot.ts';

export interface TakeOptions {
  readonly in: string;
  readonly by?: string | undefined;
  /** The jar with its content; weighed where it is left out. */
  readonly gross?: string | undefined;
  /** The jar clean and empty; from the workshop file where it is left out. */
  readonly tare?: string | undefined;
  /** A scale of the workshop that it is weighed on. */
  readonly scale?: string | undefined;
  readonly why?: string | undefined;
}

/** What the maker types, and where the words go. */
export interface TakeTalk {
  readonly input: Readable;
  readonly print: (line: string) => void;
}

const TERMINAL: TakeTalk = { input: process.stdin, print: (line) => void process.stdout.write(`${line}\n`) };

function massFrom(option: string, text: string): Mass {
  const found = readMassWithUnit(text);
  if (found !== undefined && found >= 0) return found;
  throw new Ending(EXIT.wrongUse, `${option} wants a weight with its unit, such as 95.4g. Nothing was recorded.`);
}

/** The jar's own weight: as said, or as the workshop file has it. */
function tareOf(workshop: Workshop, { name }: Ingredient, { id, jar }: Lot, said: string | undefined): Mass {
  if (said !== undefined) return massFrom('--tare', said);
  const vessel = jar === undefined ? undefined : workshop.vessels.get(jar);
  if (vessel) return vessel.tare;
  throw new Ending(
    EXIT.wrongUse,
    `What does the jar of ${cleanText(name)}, lot ${cleanText(id)}, weigh empty? Say it with --tare, such as --tare 35.8g. Nothing was recorded.`,
  );
}

/** Weighs the jar on a scale of the workshop. */
async function weighJar(
  { folder, workshop, scale: id }: { folder: string; workshop: Workshop; scale: string },
  expected: Mass,
  talk: TakeTalk,
): Promise<Mass> {
  const scale = workshop.scales.get(id);
  if (!scale) throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...workshop.scales.keys()].join(', ')}.`);
  const [seat] = await openScales(folder, workshop, [id], realClock);
  if (!seat) throw new Ending(EXIT.noScale, `The ${id} scale could not be opened.`);
  const watch = watchPan(seat, realClock);
  const lines = createInterface({ input: talk.input });
  lines.on('line', (line) => watch.hear(line));
  lines.on('close', () => watch.hear(undefined));
  const pan = createCheckPan({
    watch,
    d: scale.d,
    keyed: scale.port === undefined,
    say: (line) => talk.print(cleanText(line)),
  });
  try {
    await pan.empty(`Take everything off the ${id} scale.`);
    return await pan.loaded('Put the jar on, without its lid.', expected);
  } catch (error) {
    if (error instanceof Left) throw new Ending(EXIT.failed, 'The jar was not weighed. Nothing was recorded.');
    throw error;
  } finally {
    lines.close();
    await watch.stop();
  }
}

export async function take(
  ingredient: string,
  code: string,
  options: TakeOptions,
  talk: TakeTalk = TERMINAL,
): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const of = ingredientNamed(workshop, ingredient);
  if ((options.gross === undefined) === (options.scale === undefined)) {
    throw new Ending(
      EXIT.wrongUse,
      'Say what the jar weighs with its content (--gross 95.4g), or which scale it is put on (--scale bench).',
    );
  }
  return withLog(options.in, async (log) => {
    const { lot, book } = bookIn(log, of, code);
    const tare = tareOf(workshop, of, lot, options.tare);
    const scale = options.scale ?? null;
    const gross =
      options.gross === undefined
        ? await weighJar({ folder: options.in, workshop, scale: scale ?? '' }, plus(tare, greater(book, ZERO)), talk)
        : massFrom('--gross', options.gross);
    const found = greater(minus(gross, tare), ZERO);
    // A scale may show an empty jar a little too light; more than that is another jar, or a lid that was counted in.
    if (tare - gross > Math.max(tare * 0.02, 1_000_000)) {
      throw new Ending(
        EXIT.failed,
        `The jar weighs ${grams(gross)} with its content, and ${grams(tare)} empty: that can't be. Is it the right jar, and its lid off? Nothing was recorded.`,
      );
    }
    const reason = cleanText(options.why ?? 'the jar was weighed')
      .trim()
      .slice(0, 200);
    const [fact] = await log.append(STOCK, operator(workshop, options.by), [
      {
        kind: 'stock-taken',
        ingredient: of.id,
        lot: lot.id,
        gross,
        tare,
        scale,
        found,
        book,
        difference: minus(found, book),
        reason: reason === '' ? 'the jar was weighed' : reason,
      },
    ]);
    if (fact) talk.print(factLine(fact, undefined));
    return EXIT.done;
  });
}

/** A lot, and what the book has in it; that may be below zero in an older log. */
function bookIn(log: BatchLog, ingredient: Ingredient, code: string): { lot: Lot; book: Mass } {
  const lots = log.stock((stock) => allLotsNow(ingredient, stock));
  const lot = lotNamed(ingredient, lots, code);
  const inFile = ingredient.lots.find(({ id }) => id === lot.id);
  return {
    lot,
    book: bookOf(
      log.stock((stock) => stock.lot(ingredient.id, lot.id)),
      inFile,
    ),
  };
}
