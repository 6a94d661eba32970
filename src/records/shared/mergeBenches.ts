/**
 * The facts of all benches as one log: each batch under its bench's name (`wet_room/2026-11-25-1`), all by their time. So
 * whatever is asked of one log can be asked of all benches.
 */
import { type Fact, SCALES, STOCK } from '../../facts/fact.ts';
import type { BenchFacts, ProvedFact } from './readBenches.ts';

/** A fact of the merged log, and where it comes from. */
export interface MergedFact {
  readonly fact: Fact;
  readonly bench: string;
  /** As its bench has it: its place there and the hash, and where it names another fact by its place, that one's. */
  readonly own: { readonly seq: number; readonly hash: string; readonly corrects?: number };
}

interface Source extends ProvedFact {
  readonly bench: string;
  readonly time: number;
}

export function mergeBenches(benches: readonly BenchFacts[]): MergedFact[] {
  const sources = inTime(benches.map(({ name, facts }) => sourcesOf(name, facts)));
  /** Who had it first: a folder that was copied brings the facts from before along, with the same hashes. */
  const first = new Map<string, string>();
  for (const { hash, bench } of [
    ...benches.flatMap(({ name, facts }) => facts.map(({ hash }) => ({ hash, bench: name }))),
  ]) {
    if (!first.has(hash)) first.set(hash, bench);
  }
  const starts = startsOf(benches, first);
  const made = makingsOf(benches, starts);
  const places = new Map<string, number>();
  const merged: MergedFact[] = [];
  for (const { bench, fact, hash } of sources) {
    if (first.get(hash) !== bench) continue;
    const seq = merged.length + 1;
    places.set(placeKey(bench, fact.seq), seq);
    const placed = { ...fact, seq, batch: batchName(starts, bench, fact.batch) };
    const corrects = 'corrects' in fact ? { corrects: fact.corrects } : {};
    const own = { seq: fact.seq, hash, ...corrects };
    merged.push({ bench, own, fact: withReferences(placed, bench, places, made) });
  }
  return merged;
}

function sourcesOf(bench: string, facts: readonly ProvedFact[]): Source[] {
  let time = Number.NEGATIVE_INFINITY;
  // A clock that was set back must not take a fact before the one that it follows on.
  return facts.map((each) => {
    time = Math.max(time, Date.parse(each.fact.at) || time);
    return { ...each, bench, time };
  });
}

/** By time, each bench in its own order. */
function inTime(benches: readonly (readonly Source[])[]): Source[] {
  return benches.flat().sort((a, b) => a.time - b.time);
}

const placeKey = (bench: string, seq: number) => `${bench} ${seq}`;

/** By bench and batch: the bench under whose name it stands, which is the one that began it. */
type Starts = ReadonlyMap<string, string>;

const batchKey = (bench: string, batch: string) => `${bench} ${batch}`;

function startsOf(benches: readonly BenchFacts[], first: ReadonlyMap<string, string>): Starts {
  const starts = new Map<string, string>();
  for (const { name, facts } of benches) {
    for (const { fact, hash } of facts) {
      if (fact.kind === 'batch-started') starts.set(batchKey(name, fact.batch), first.get(hash) ?? name);
    }
  }
  return starts;
}

/** Checks of scales and what comes and goes of lots belong to no batch. */
function batchName(starts: Starts, bench: string, batch: string): string {
  if (batch === SCALES || batch === STOCK) return batch;
  return `${starts.get(batchKey(bench, batch)) ?? bench}/${batch}`;
}

const lotKey = (ingredient: string, lot: string) => JSON.stringify([ingredient, lot]);

/** The batch that a lot was made in, as the bench that made it says; another bench just enters the lot. */
function makingsOf(benches: readonly BenchFacts[], starts: Starts): ReadonlyMap<string, string> {
  const made = new Map<string, string>();
  for (const { name, facts } of benches) {
    const formulas = new Map<string, string>();
    for (const { fact } of facts) {
      if (fact.kind === 'batch-started') formulas.set(fact.batch, fact.plan.formula.id);
      if (fact.kind !== 'lot-received') continue;
      // A stock may be entered by the name of its batch alone.
      const madeIn = fact.madeIn ?? (formulas.get(fact.lot) === fact.ingredient ? fact.lot : undefined);
      if (madeIn !== undefined) made.set(lotKey(fact.ingredient, fact.lot), batchName(starts, name, madeIn));
    }
  }
  return made;
}

/** What a fact names by its place or its batch is named as it is in the merged log. */
function withReferences(
  fact: Fact,
  bench: string,
  places: ReadonlyMap<string, number>,
  made: ReadonlyMap<string, string>,
): Fact {
  if (fact.kind === 'undone' || fact.kind === 'corrected') {
    return { ...fact, corrects: places.get(placeKey(bench, fact.corrects)) ?? fact.corrects };
  }
  if (fact.kind !== 'lot-received') return fact;
  const madeIn = made.get(lotKey(fact.ingredient, fact.lot));
  return madeIn === undefined ? fact : { ...fact, madeIn };
}
