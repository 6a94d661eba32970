/** A log in memory of what all benches have sent, to be asked like any other. */
import { DatabaseSync } from 'node:sqlite';
import { type Fact, SCALES, STOCK } from '../../facts/fact.ts';
import { BatchLog, type Seal } from '../batchLog.ts';
import { FIRST_LINK, link } from '../chain.ts';
import { SCHEMA } from '../logFile.ts';
import { type MergedFact, mergeBenches } from './mergeBenches.ts';
import type { BenchFacts } from './readBenches.ts';

export class AcrossBenches extends BatchLog {
  /** All facts, with the places that they have in their benches' own logs. */
  readonly merged: readonly MergedFact[];

  constructor(benches: readonly BenchFacts[]) {
    const db = new DatabaseSync(':memory:');
    db.exec(Object.values(SCHEMA).join(';\n'));
    const merged = mergeBenches(benches);
    fill(db, merged);
    super('the shared history', db, () => new Date());
    this.merged = merged;
  }

  /** Those of a batch that one bench has weighed have their numbers of that bench's own log, as its record has. */
  override facts(batch?: string): Fact[] {
    const of = batch === undefined ? [] : this.merged.filter(({ fact }) => fact.batch === batch);
    const [first] = of;
    if (!first || batch === SCALES || batch === STOCK || of.some(({ bench }) => bench !== first.bench)) {
      return super.facts(batch);
    }
    return of.map(({ fact, own: { hash: _, ...numbers } }) => ({ ...fact, ...numbers }) as Fact);
  }

  /** The seal of a batch is that of its bench's own log, where `verify` can compare it. */
  override seal(batch?: string): Seal | null {
    if (batch === undefined) return super.seal();
    const last = this.merged.findLast(({ fact }) => fact.batch === batch)?.own;
    return last ? { seq: last.seq, hash: last.hash } : null;
  }
}

function fill(db: DatabaseSync, merged: readonly MergedFact[]): void {
  const insert = db.prepare('INSERT INTO facts (seq, batch, kind, at, "by", body, hash) VALUES (?, ?, ?, ?, ?, ?, ?)');
  let hash = FIRST_LINK;
  db.exec('BEGIN');
  for (const { fact } of merged) {
    const { seq, batch, kind, at, by } = fact;
    const body = JSON.stringify(fact);
    hash = link(hash, body);
    insert.run(seq, batch, kind, at, by, body, hash);
  }
  db.exec('COMMIT');
}
