/** Which batch does the maker mean? */
import { cleanText } from '../facts/cleanText.ts';
import type { BatchEntry, BatchList } from './batchList.ts';

export type Resolved =
  | { readonly ok: true; readonly batch: BatchEntry }
  /** A sentence: what there is instead. */
  | { readonly ok: false; readonly say: string };

/** Most batches named in a sentence. */
const MOST_NAMED = 3;

/**
 * As `resolveBatch` among all batches of a log, which is asked for the few that it may be. Only who means none of them
 * has to hear of all others.
 * @throws LogTrouble
 */
export function batchMeant(
  { list }: { readonly list: BatchList },
  wanted: string | undefined,
  options: { readonly open?: boolean } = {},
): Resolved {
  const found = resolveBatch(mayBe(list, wanted, options), wanted, options);
  return found.ok ? found : resolveBatch(list.all(), wanted, options);
}

function mayBe(list: BatchList, wanted = '', { open = false }): readonly BatchEntry[] {
  if (!open) return wanted === '' ? list.newest(1) : list.beginningWith(wanted);
  // Of which the whole id was said is meant, also where the id of an open one begins so.
  const whole = wanted === '' ? undefined : list.one(wanted);
  return whole ? [whole] : list.open();
}

/**
 * Finds a batch by its whole id, by the beginning of its id where only one begins so, or the newest one.
 * @param batches in the order in which they were begun, e.g. `log.batches()`
 * @param wanted an id or its beginning; undefined for the newest
 * @param open look among open batches only, as `resume` does
 */
export function resolveBatch(
  batches: readonly BatchEntry[],
  wanted: string | undefined,
  { open = false }: { readonly open?: boolean } = {},
): Resolved {
  const among = open ? batches.filter(({ status }) => status === 'open') : batches;
  const newest = among.at(-1);
  if (wanted === undefined || wanted === '') {
    if (newest) return { ok: true, batch: newest };
    return { ok: false, say: nothingHere(batches, open) };
  }
  const exact = batches.find(({ id }) => id === wanted);
  if (exact) return open && exact.status !== 'open' ? { ok: false, say: hasEnded(exact, newest) } : ok(exact);
  const fitting = among.filter(({ id }) => id.startsWith(wanted));
  const [only] = fitting;
  if (only && fitting.length === 1) return ok(only);
  const name = cleanText(wanted).slice(0, 60);
  if (fitting.length > 1) {
    return { ok: false, say: `${fitting.length} batches begin with "${name}": ${named(fitting)}. Name one whole.` };
  }
  if (!newest) return { ok: false, say: nothingHere(batches, open) };
  return {
    ok: false,
    say: `There is no ${open ? 'open ' : ''}batch "${name}". Nearest: ${named(nearest(among, wanted))}.`,
  };
}

function ok(batch: BatchEntry): Resolved {
  return { ok: true, batch };
}

function nothingHere(batches: readonly BatchEntry[], open: boolean): string {
  const last = batches.at(-1);
  if (open && last) return `No batch is open here; the newest, ${describe(last)}, is ${last.status}.`;
  return 'No batch was begun in this workshop yet.';
}

function hasEnded(batch: BatchEntry, newest: BatchEntry | undefined): string {
  const instead = newest ? ` Open is ${describe(newest)}.` : ' No batch is open here.';
  return `Batch ${describe(batch)} is ${batch.status}: nothing is left to weigh.${instead}`;
}

/** The newest first; more are counted. */
function named(batches: readonly BatchEntry[]): string {
  const shown = batches.slice(-MOST_NAMED).reverse().map(describe);
  const more = batches.length - shown.length;
  return shown.join(', ') + (more > 0 ? ` and ${more} more` : '');
}

function describe({ id, formula }: BatchEntry): string {
  return `${cleanText(id)} (${cleanText(formula.name)})`;
}

/** Those whose ids agree with the text the longest way; oldest first. */
function nearest(batches: readonly BatchEntry[], wanted: string): BatchEntry[] {
  const ranked = batches.map((batch, index) => ({ batch, index, agrees: agreement(batch.id, wanted) }));
  ranked.sort((a, b) => b.agrees - a.agrees || b.index - a.index);
  const best = ranked.slice(0, MOST_NAMED);
  return best.reverse().map(({ batch }) => batch);
}

function agreement(id: string, wanted: string): number {
  let length = 0;
  while (length < wanted.length && id[length] === wanted[length]) length++;
  return length;
}
