/** Facts as the tables beside them read them. A damaged one is left out: it is told where facts are read, and by `verify`. */
import type { DatabaseSync } from 'node:sqlite';
import type { Fact } from '../facts/fact.ts';
import { readFact } from '../facts/readFact.ts';

/** Facts by the id of their batch, each in order. */
export type FactsByBatch = ReadonlyMap<string, readonly Fact[]>;

/** The place of the last fact; 0 when there is none. */
export function lastSeq(db: DatabaseSync): number {
  return Number(db.prepare('SELECT max(seq) AS seq FROM facts').get()?.seq ?? 0);
}

function factsIn(rows: Iterable<Record<string, unknown>>): Fact[] {
  const facts: Fact[] = [];
  for (const { body } of rows) {
    const read = readFact(String(body));
    if (read.ok) facts.push(read.fact);
  }
  return facts;
}

/** The facts of one batch, none after a place. */
export function factsOfBatch(db: DatabaseSync, batch: string, last: number): Fact[] {
  return factsIn(db.prepare('SELECT body FROM facts WHERE batch = ? AND seq <= ? ORDER BY seq').all(batch, last));
}

/** At most so many facts behind a place, and the place of the last of them. */
export function factsFrom(
  db: DatabaseSync,
  after: number,
  most: number,
): { readonly facts: Fact[]; readonly last: number } {
  const rows = db.prepare('SELECT seq, body FROM facts WHERE seq > ? ORDER BY seq LIMIT ?').all(after, most);
  return { facts: factsIn(rows), last: Number(rows.at(-1)?.seq ?? after) };
}

/** All facts of the log, each read once. */
export function factsByBatch(db: DatabaseSync): FactsByBatch {
  return byBatch(factsIn(db.prepare('SELECT body FROM facts ORDER BY seq').iterate()));
}

export function byBatch(facts: Iterable<Fact>): FactsByBatch {
  const batches = new Map<string, Fact[]>();
  for (const fact of facts) {
    const known = batches.get(fact.batch);
    if (known) known.push(fact);
    else batches.set(fact.batch, [fact]);
  }
  return batches;
}

/** Facts in order, cut where the batch changes. */
export function runsOf(facts: readonly Fact[]): Fact[][] {
  const runs: Fact[][] = [];
  for (const fact of facts) {
    const run = runs.at(-1);
    if (run?.[0]?.batch === fact.batch) run.push(fact);
    else runs.push([fact]);
  }
  return runs;
}
