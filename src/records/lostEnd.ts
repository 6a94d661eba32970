/**
 * Whether facts at the very end are missing from a file with broken pages: the chain of hashes can't show that by itself.
 * What lies beside the facts may know of more of them than can still be read.
 */
import type { DatabaseSync } from 'node:sqlite';

/** Each says how far the facts went; those that are broken themselves say nothing. */
const WITNESSES = [
  'SELECT max(seq) AS seq FROM facts INDEXED BY facts_by_batch',
  'SELECT seq FROM stock_upto',
  'SELECT seq FROM trace_upto',
];

export type EndOfFacts = 'sure' | 'missing' | 'unsure';

/**
 * @param db a log, within a transaction
 * @param last the last fact that can be read
 * @returns `missing` where something beside the facts knows of later ones; `unsure` where the pages of the facts have a
 *   fault and nothing vouches for their end
 */
export function endOfFacts(db: DatabaseSync, last: number): EndOfFacts {
  const known = WITNESSES.flatMap((sql) => {
    const seq = tried(() => db.prepare(sql).get()?.seq);
    return typeof seq === 'number' ? [seq] : [];
  });
  if (known.some((seq) => seq > last)) return 'missing';
  return known.includes(last) || arePagesWhole(db) ? 'sure' : 'unsure';
}

function arePagesWhole(db: DatabaseSync): boolean {
  const said = tried(() => Object.values(db.prepare(`PRAGMA integrity_check('facts')`).get() ?? {})[0]);
  return said === 'ok';
}

function tried(look: () => unknown): unknown {
  try {
    return look();
  } catch {
    return undefined; // broken itself
  }
}
