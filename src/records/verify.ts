/**
 * The proof that a batch log is whole and unchanged.
 *
 * What the chain of hashes can't show by itself: that facts at the very end are missing, or that all hashes from some
 * fact on were written anew. For that the hash at a known place is compared with one printed on a batch record.
 */
import type { DatabaseSync } from 'node:sqlite';
import { cleanText } from '../facts/cleanText.ts';
import type { Fact } from '../facts/fact.ts';
import type { Seal } from './batchLog.ts';
import type { StoredFact } from './chain.ts';
import { byBatch, type FactsByBatch } from './factRows.ts';
import { openLogFile, SCHEMA } from './logFile.ts';
import { LogTrouble, type Trouble, troubleOf } from './logTrouble.ts';
import { StockIndex } from './stockIndex.ts';
import { isStockPart, STOCK_SCHEMA } from './stockTables.ts';
import { EARLIER_TRACE_SHAPES, isTracePart, TRACE_SCHEMA } from './trace/tables.ts';
import { TraceIndex } from './trace/traceIndex.ts';
import { MOST_DAMAGES, type Verification, Walk } from './verifyWalk.ts';

export type { Damage, Verification } from './verifyWalk.ts';

/** Troubles on opening that say nothing about damage. Whatever else SQLite stumbles over is damage. */
const NOT_LOOKED_AT: ReadonlySet<Trouble> = new Set<Trouble>(['missing', 'newer', 'busy', 'read-only']);

const FACTS_WHOLE = 'the facts are whole, and `bismar stock --rebuild` counts them anew';

/**
 * Reads the whole log and tells every damage. Changes nothing.
 * @param printed a place and its hash as printed on a batch record, to prove that nothing up to there was cut off or
 *   written anew
 * @throws LogTrouble when the file can't be looked at: `missing`, `newer`, `busy`, `read-only`
 */
export function verifyLog(file: string, printed?: Seal): Verification {
  const walk = new Walk(printed);
  let db: DatabaseSync | undefined;
  try {
    db = openLogFile(file, { readOnly: true });
    db.exec('BEGIN'); // the state of one moment: another program may be weighing on
    checkFile(db, walk);
    const facts: Fact[] = [];
    for (const row of db.prepare('SELECT * FROM facts NOT INDEXED ORDER BY seq').iterate()) {
      const fact = walk.step(row as StoredFact);
      if (fact) facts.push(fact);
    }
    walk.allRead();
    // Against damaged facts nothing can be counted.
    if (walk.isWhole) checkTables(db, byBatch(facts), walk);
  } catch (error) {
    const trouble = troubleOf(error, file, 'read');
    if (!db && NOT_LOOKED_AT.has(trouble.trouble)) throw trouble;
    walk.damage(null, db ? `${walk.reading()}: ${wordsOf(error)}` : trouble.message);
  } finally {
    if (db?.isOpen) db.close();
  }
  return walk.result();
}

function wordsOf(error: unknown): string {
  const { cause } = error instanceof LogTrouble ? error : { cause: undefined };
  const told = cause ?? error;
  return cleanText(told instanceof Error ? told.message : String(told));
}

/** The tables beside the facts: whether they are what the facts come to, or only behind. */
function checkTables(db: DatabaseSync, batches: FactsByBatch, walk: Walk): void {
  for (const [what, index] of [
    ['Stock', new StockIndex(db)],
    ['Traces of batches', new TraceIndex(db)],
  ] as const) {
    const known = index.upTo() ?? 0;
    try {
      if (known < walk.facts) index.countAll(batches);
      for (const fault of index.faults(batches)) walk.damage(null, `${fault}; ${FACTS_WHOLE}`);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      walk.note(
        `${what} can't be counted from the facts: their amounts come to more than 9,007 t. The facts are whole; look for an amount that was mistyped.`,
      );
      continue;
    }
    if (known < walk.facts) {
      walk.note(
        `${what}, kept counted beside the facts, ${what === 'Stock' ? 'is' : 'are'} behind by ${walk.facts - known} of ${walk.facts} facts. Nothing is lost: the next command that writes goes on counting.`,
      );
    }
  }
}

/** Pages, indexes and the definitions that guard the facts. */
function checkFile(db: DatabaseSync, walk: Walk): void {
  try {
    for (const row of db.prepare(`PRAGMA integrity_check(${MOST_DAMAGES})`).all()) {
      const [said] = Object.values(row);
      if (said !== 'ok') walk.damage(null, `the file is damaged: ${cleanText(String(said))}`);
    }
  } catch (error) {
    // A broken page can stop this check; the facts may be whole all the same, which is what has to be told.
    walk.damage(null, `the file is damaged: ${wordsOf(error)}`);
  }
  const found = new Map<unknown, unknown>();
  for (const { name, sql } of db.prepare('SELECT name, sql FROM sqlite_schema').all()) found.set(name, sql);
  for (const [name, sql] of Object.entries(SCHEMA)) {
    if (!found.has(name)) walk.damage(null, `the part "${name}" of the file, which guards the facts, is missing`);
    else if (found.get(name) !== sql) walk.damage(null, `the part "${name}" of the file was changed`);
    found.delete(name);
  }
  for (const [name, sql] of Object.entries({ ...STOCK_SCHEMA, ...TRACE_SCHEMA })) {
    const shapes = [sql, ...(EARLIER_TRACE_SHAPES[name] ?? [])];
    if (found.has(name) && !shapes.includes(String(found.get(name)))) {
      walk.damage(null, `the part "${name}" of the file was changed`);
    }
    found.delete(name);
  }
  for (const name of found.keys()) if (isStockPart(name) || isTracePart(name)) found.delete(name);
  for (const name of found.keys()) walk.damage(null, `the file holds "${cleanText(String(name))}", which is not ours`);
}
