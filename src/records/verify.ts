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
import { checkRow, FIRST_LINK, link, type StoredFact } from './chain.ts';
import { byBatch } from './factRows.ts';
import { openLogFile, SCHEMA } from './logFile.ts';
import { LogTrouble, type Trouble, troubleOf } from './logTrouble.ts';
import { StockIndex } from './stockIndex.ts';
import { isStockPart, STOCK_SCHEMA } from './stockTables.ts';
import { EARLIER_TRACE_SHAPES, isTracePart, TRACE_SCHEMA } from './trace/tables.ts';
import { TraceIndex } from './trace/traceIndex.ts';

export interface Damage {
  /** Place of the fact concerned; null when it concerns the whole file. */
  readonly seq: number | null;
  /** A sentence. */
  readonly what: string;
}

export interface Verification {
  readonly ok: boolean;
  /** Facts found, damaged ones too. */
  readonly facts: number;
  /** Hash of the last fact, to compare with a printed record; null when there is none. */
  readonly lastHash: string | null;
  readonly damages: readonly Damage[];
  /** What this proof can't tell, a sentence. */
  readonly caveat: string;
}

/** Troubles on opening that say nothing about damage. Whatever else SQLite stumbles over is damage. */
const NOT_LOOKED_AT: ReadonlySet<Trouble> = new Set<Trouble>(['missing', 'newer', 'busy', 'read-only']);

const FACTS_WHOLE = 'the facts are whole, and `bismar stock --rebuild` counts them anew';

/** Most damages told; one broken page can hit thousands of facts. */
const MOST_DAMAGES = 200;

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
    // Against damaged facts nothing can be counted.
    if (walk.isWhole) {
      const batches = byBatch(facts);
      const faults = [...new StockIndex(db).faults(batches), ...new TraceIndex(db).faults(batches)];
      for (const fault of faults) walk.damage(null, `${fault}; ${FACTS_WHOLE}`);
    }
  } catch (error) {
    const trouble = troubleOf(error, file, 'read');
    if (!db && NOT_LOOKED_AT.has(trouble.trouble)) throw trouble;
    walk.damage(null, db ? `reading stopped after ${walk.facts} facts: ${wordsOf(error)}` : trouble.message);
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

/** Goes along the chain, one row after the other. */
class Walk {
  facts = 0;
  readonly #printed: Seal | undefined;
  readonly #damages: Damage[] = [];
  #untold = 0;
  #seq = 0;
  #lastHash: string | null = null;
  #printedSeen = false;
  /** What the next row may be chained to: the hash as stored and as it should be. None when it is not known. */
  #previous: readonly string[] = [FIRST_LINK];

  constructor(printed: Seal | undefined) {
    this.#printed = printed;
  }

  get isWhole(): boolean {
    return this.#damages.length === 0;
  }

  damage(seq: number | null, what: string): void {
    if (this.#damages.length < MOST_DAMAGES) this.#damages.push({ seq, what });
    else this.#untold += 1;
  }

  /** @returns the fact, if it is whole */
  step(row: StoredFact): Fact | undefined {
    const { seq, body, hash } = row;
    this.facts += 1;
    if (typeof seq !== 'number') {
      this.damage(null, 'a fact has no place');
      this.#previous = [];
      return undefined;
    }
    if (seq !== this.#seq + 1) {
      this.damage(seq, gap(this.#seq, seq));
      this.#previous = [];
    }
    const checked = checkRow(row, this.#previous);
    if (!checked.ok) for (const fault of checked.faults) this.damage(seq, fault);
    this.#seq = seq;
    this.#lastHash = typeof hash === 'string' ? hash : null;
    const stored = typeof hash === 'string' ? [hash] : [];
    // Where this row's own hash was changed, the next one still fits what it should be: it is told once, at its place.
    const due = typeof body === 'string' ? this.#previous.map((before) => link(before, body)) : [];
    this.#previous = [...new Set([...stored, ...due])].slice(0, 2);
    if (seq === this.#printed?.seq) {
      this.#printedSeen = true;
      if (hash !== this.#printed.hash) this.damage(seq, 'the hash differs from the printed one');
    }
    return checked.ok ? checked.fact : undefined;
  }

  result(): Verification {
    if (this.#printed && !this.#printedSeen) {
      this.damage(this.#printed.seq, 'the fact whose hash was printed is not in the log: its end was cut off');
    }
    if (this.#untold > 0) this.#damages.push({ seq: null, what: `and ${this.#untold} more damages` });
    return {
      ok: this.#damages.length === 0,
      facts: this.facts,
      lastHash: this.#lastHash,
      damages: this.#damages,
      caveat: this.#printed
        ? `Facts after number ${this.#printed.seq}, if there were any, could still have been cut off at the end.`
        : 'Facts cut off at the very end do not show in the log itself: compare the last hash with the newest printed record.',
    };
  }
}

function gap(before: number, seq: number): string {
  if (seq <= before) return 'the facts are out of order';
  const missing = seq === before + 2 ? `fact ${before + 1} is` : `facts ${before + 1} to ${seq - 1} are`;
  return `${missing} missing before this one, so its hash can't be checked`;
}
