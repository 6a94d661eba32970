/**
 * The facts of all benches as one log: each batch under its bench's name (`wet_room/2026-11-25-1`), all by their time. So
 * whatever is asked of one log can be asked of all benches.
 */
import { isDeepStrictEqual } from 'node:util';
import { type Fact, SCALES, STOCK } from '../../facts/fact.ts';
import type { BroughtIn } from '../../facts/handOverFacts.ts';
import type { BenchFacts } from './readBenches.ts';
import type { LogRow } from './sharedHistory.ts';

/** Where a fact of the merged log comes from. */
export interface Origin {
  readonly bench: string;
  /** Its batch in the merged log. */
  readonly batch: string;
  /** As its bench has it: its place there and the hash, and where it names another fact by its place, that one's. */
  readonly own: { readonly seq: number; readonly hash: string; readonly corrects?: number };
}

export interface MergedFact {
  readonly fact: Fact;
  readonly origin: Origin;
}

/** One fact after the other, so that not all of them are in the memory at once as more than their text. */
export function* mergeBenches(benches: readonly BenchFacts[]): Generator<MergedFact> {
  const owners = ownersOf(benches);
  const starts = startsOf(benches, owners);
  const made = makingsOf(benches, starts);
  const into = broughtInto(benches, starts);
  const rowsOf = new Map(benches.map(({ name, rows }) => [name, rows]));
  /** By hash: so the copies of a fact are found in the place of the one that stands for all. */
  const places = new Map<string, number>();
  let seq = 0;
  for (const { bench, row } of inTime(benches)) {
    if (owners.get(row.hash) !== bench) continue;
    seq += 1;
    places.set(row.hash, seq);
    const fact = factOf(row);
    const batch = batchName(starts, bench, row.batch);
    const corrects = 'corrects' in fact ? { corrects: fact.corrects } : {};
    const origin = { bench, batch, own: { seq: row.seq, hash: row.hash, ...corrects } };
    const placeOf = (of: number) => places.get(rowsOf.get(bench)?.[of - 1]?.hash ?? '');
    const whole = into.get(key(bench, row.batch));
    yield { origin, fact: withReferences({ ...fact, seq, batch }, placeOf, made, whole) };
  }
}

/** Its text was proved when it was read. */
const factOf = ({ body }: LogRow) => JSON.parse(body) as Fact;

const key = (bench: string, of: string | number) => `${bench} ${of}`;

/** By hash, who had a fact first: a folder that was copied brings the facts from before along, with the same hashes. */
function ownersOf(benches: readonly BenchFacts[]): ReadonlyMap<string, string> {
  const owners = new Map<string, string>();
  for (const { name, rows } of benches) {
    for (const { hash } of rows) if (!owners.has(hash)) owners.set(hash, name);
  }
  return owners;
}

interface Timed {
  readonly bench: string;
  readonly row: LogRow;
  readonly time: number;
}

/** By time, each bench in its own order: a clock that was set back takes no fact before the one that it follows on. */
function inTime(benches: readonly BenchFacts[]): Timed[] {
  const all = benches.flatMap(({ name, rows }) => {
    let time = Number.NEGATIVE_INFINITY;
    return rows.map((row): Timed => {
      time = Math.max(time, Date.parse(row.at) || time);
      return { bench: name, row, time };
    });
  });
  return all.sort((a, b) => a.time - b.time);
}

/** By bench and batch: the bench under whose name it stands, which is the one that began it. */
type Starts = ReadonlyMap<string, string>;

function startsOf(benches: readonly BenchFacts[], owners: ReadonlyMap<string, string>): Starts {
  const starts = new Map<string, string>();
  for (const { name, rows } of benches) {
    for (const { kind, batch, hash } of rows) {
      if (kind === 'batch-started') starts.set(key(name, batch), owners.get(hash) ?? name);
    }
  }
  return starts;
}

/** Checks of scales and what comes and goes of lots belong to no batch. */
function batchName(starts: Starts, bench: string, batch: string): string {
  if (batch === SCALES || batch === STOCK) return batch;
  return `${starts.get(key(bench, batch)) ?? bench}/${batch}`;
}

const lotKey = (ingredient: string, lot: string) => JSON.stringify([ingredient, lot]);

/** The batch that a lot was made in, as the bench that made it says; another bench just enters the lot. */
function makingsOf(benches: readonly BenchFacts[], starts: Starts): ReadonlyMap<string, string> {
  const made = new Map<string, string>();
  for (const { name, rows } of benches) {
    const formulas = new Map<string, string>();
    for (const row of rows) {
      if (row.kind !== 'batch-started' && row.kind !== 'lot-received') continue;
      const fact = factOf(row);
      if (fact.kind === 'batch-started') formulas.set(fact.batch, fact.plan.formula.id);
      if (fact.kind !== 'lot-received') continue;
      // A stock may be entered by the name of its batch alone.
      const madeIn = fact.madeIn ?? (formulas.get(fact.lot) === fact.ingredient ? fact.lot : undefined);
      if (madeIn !== undefined) made.set(lotKey(fact.ingredient, fact.lot), batchName(starts, name, madeIn));
    }
  }
  return made;
}

/**
 * By bench and batch: the whole batch that a part of it was brought into, and is told in. Only where that has what the part's
 * own bench has written: else a recall would leave out what is told nowhere.
 */
function broughtInto(benches: readonly BenchFacts[], starts: Starts): ReadonlyMap<string, string> {
  const by = new Map(benches.map((each) => [each.bench, each]));
  const into = new Map<string, string>();
  for (const { name, rows } of benches) {
    for (const row of rows) {
      const fact = row.kind === 'brought-in' ? factOf(row) : undefined;
      const from = fact?.kind === 'brought-in' ? by.get(fact.bench) : undefined;
      if (fact?.kind !== 'brought-in' || from === undefined || !isAsThere(fact, from)) continue;
      into.set(key(from.name, fact.part), batchName(starts, name, row.batch));
    }
  }
  return into;
}

function isAsThere({ part, seal, facts }: BroughtIn, { rows }: BenchFacts): boolean {
  const there = rows.filter(({ batch, seq }) => batch === part && seq <= seal.seq);
  if (there.at(-1)?.hash !== seal.hash || there.length !== facts.length) return false;
  return there.every(({ body }, index) => isDeepStrictEqual(JSON.parse(body), facts[index]));
}

/** What a fact names by its place or its batch is named as it is in the merged log. */
function withReferences(
  fact: Fact,
  placeOf: (own: number) => number | undefined,
  made: ReadonlyMap<string, string>,
  whole: string | undefined,
): Fact {
  if (fact.kind === 'joined' && whole !== undefined) return { ...fact, broughtInto: whole };
  if (fact.kind === 'undone' || fact.kind === 'corrected') {
    return { ...fact, corrects: placeOf(fact.corrects) ?? fact.seq }; // no fact corrects a later one
  }
  if (fact.kind !== 'lot-received') return fact;
  const madeIn = made.get(lotKey(fact.ingredient, fact.lot));
  return madeIn === undefined ? fact : { ...fact, madeIn };
}
