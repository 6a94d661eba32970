/** A log in memory of what all benches have sent, to be asked like any other. */
import { DatabaseSync } from 'node:sqlite';
import { type Fact, SCALES, STOCK } from '../../facts/fact.ts';
import { BatchLog, type Seal } from '../batchLog.ts';
import { FIRST_LINK, link } from '../chain.ts';
import { SCHEMA } from '../logFile.ts';
import { mergeBenches, type Origin } from './mergeBenches.ts';
import type { BenchFacts } from './readBenches.ts';

export class AcrossBenches extends BatchLog {
  /** Where each fact comes from, in order: that of the fact `seq` stands at `seq - 1`. */
  readonly #origins: readonly Origin[];

  constructor(benches: readonly BenchFacts[]) {
    const db = new DatabaseSync(':memory:');
    db.exec(Object.values(SCHEMA).join(';\n'));
    const origins = fill(db, benches);
    super('the shared history', db, () => new Date());
    this.#origins = origins;
  }

  /** @param fact of `factsOfAll` */
  originOf({ seq }: Fact): Origin {
    const origin = this.#origins[seq - 1];
    if (origin) return origin;
    throw new Error(`fact ${seq} is of no bench`);
  }

  /** The facts of a batch, or all, numbered as they stand here. */
  factsOfAll(batch?: string): Fact[] {
    return super.facts(batch);
  }

  /** Those of a batch that one bench has weighed have their numbers of that bench's own log, as its record has. */
  override facts(batch?: string): Fact[] {
    const facts = super.facts(batch);
    if (batch === undefined || batch === SCALES || batch === STOCK) return facts;
    const origins = facts.map((fact) => this.originOf(fact));
    if (origins.some(({ bench }) => bench !== origins[0]?.bench)) return facts;
    return facts.map((fact, index) => {
      const { hash: _, ...numbers } = origins[index]?.own ?? { hash: '' };
      return { ...fact, ...numbers } as Fact;
    });
  }

  /** The seal of a batch is that of its bench's own log, where `verify` can compare it. */
  override seal(batch?: string): Seal | null {
    if (batch === undefined) return super.seal();
    const last = this.#origins.findLast((origin) => origin.batch === batch)?.own;
    return last ? { seq: last.seq, hash: last.hash } : null;
  }
}

function fill(db: DatabaseSync, benches: readonly BenchFacts[]): Origin[] {
  const insert = db.prepare('INSERT INTO facts (seq, batch, kind, at, "by", body, hash) VALUES (?, ?, ?, ?, ?, ?, ?)');
  const origins: Origin[] = [];
  let hash = FIRST_LINK;
  db.exec('BEGIN');
  for (const { fact, origin } of mergeBenches(benches)) {
    const { seq, batch, kind, at, by } = fact;
    const body = JSON.stringify(fact);
    hash = link(hash, body);
    insert.run(seq, batch, kind, at, by, body, hash);
    origins.push(origin);
  }
  db.exec('COMMIT');
  return origins;
}
