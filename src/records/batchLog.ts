/**
 * The batch log: every fact of a workshop, in the order in which it happened. It only grows. A fact is on the disk for
 * good before `append` resolves.
 */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import { cleanText } from '../facts/cleanText.ts';
import { type Fact, type FactKind, type FactLog, type Happened, SCALES } from '../facts/fact.ts';
import { checkFact } from '../facts/readFact.ts';
import { TOO_MUCH } from '../facts/readPlan.ts';
import { type BatchEntry, BatchList } from './batchList.ts';
import { refuseBeyondCount, tooMuch } from './beyondCount.ts';
import { checkRow, FIRST_LINK, link, type StoredFact } from './chain.ts';
import { type FileOptions, openForTables, openLogFile } from './logFile.ts';
import { type Doing, damagedFact, LogTrouble, troubleOf } from './logTrouble.ts';
import type { LogRow } from './shared/sharedHistory.ts';
import { stamp } from './stamp.ts';
import type { StockLook } from './stockLook.ts';
import { Summaries } from './summaries.ts';
import type { TraceLook } from './trace/look.ts';

export type { BatchEntry } from './batchList.ts';

/** A place in the log and the hash there; it vouches for every fact up to it. */
export interface Seal {
  readonly seq: number;
  readonly hash: string;
}

export interface LogOptions extends FileOptions {
  /** The wall clock. Default: the machine's. */
  readonly now?: () => Date;
}

/**
 * Opens the batch log in a file, and makes it where there is none (not when `readOnly`).
 * @throws LogTrouble whose message is a sentence for the maker
 */
export function openLog(file: string, options: LogOptions = {}): BatchLog {
  const db = openLogFile(file, options);
  try {
    const tables = new Summaries(db, options.readOnly ? undefined : openForTables(file));
    return new BatchLog(file, db, options.now ?? (() => new Date()), tables);
  } catch (error) {
    db.close();
    throw error;
  }
}

/**
 * The log to read, or undefined where none was begun: no file, or an empty one (the program ended while it made it).
 * @throws LogTrouble any other
 */
export function openLogIfBegun(file: string): BatchLog | undefined {
  try {
    return openLog(file, { readOnly: true });
  } catch (error) {
    if (error instanceof LogTrouble && error.trouble === 'missing') return undefined;
    throw error;
  }
}

const ROW = 'f.seq, f.batch, f.kind, f.at, f."by", f.body, f.hash';
const WITH_PREVIOUS = `SELECT ${ROW}, p.hash AS previous FROM facts f LEFT JOIN facts p ON p.seq = f.seq - 1`;
/** In the index of each batch, from its end on; each scale's checks are few beside a look at all. */
const LAST_CHECK = `${WITH_PREVIOUS} WHERE f.batch = ? AND f.kind = 'scale-checked'
  AND iif(json_valid(f.body), f.body ->> '$.scale', NULL) = ? ORDER BY f.seq DESC LIMIT 1`;

/** Made by `openLog`. */
export class BatchLog implements FactLog {
  readonly file: string;
  /** Its batches, looked up without a look at all others. */
  readonly list: BatchList;
  readonly #db: DatabaseSync;
  readonly #now: () => Date;
  readonly #last: StatementSync;
  #insert: StatementSync | undefined;
  #rows: StatementSync | undefined;
  readonly #tables: Summaries;

  /** @param tables by default they are not written */
  constructor(file: string, db: DatabaseSync, now: () => Date, tables = new Summaries(db, undefined)) {
    this.file = file;
    this.#db = db;
    this.#now = now;
    this.#tables = tables;
    this.list = new BatchList(file, db, () => tables.traceKept?.open());
    this.#last = this.#try('open', () => db.prepare('SELECT seq, hash FROM facts ORDER BY seq DESC LIMIT 1'));
  }

  /**
   * Adds facts to a batch, all or none, and syncs them to the disk.
   * @param by the operator
   * @returns the facts as stored; rejects with a LogTrouble, and then none of them is in the log
   */
  async append(batch: string, by: string, happened: readonly Happened[]): Promise<readonly Fact[]> {
    if (happened.length === 0) return [];
    return this.#try('record', () => {
      refuseBeyondCount(happened, (ingredient, lot) => this.#tables.stock.lot(ingredient, lot));
      this.#db.exec('BEGIN IMMEDIATE');
      try {
        const facts = this.#insertAll(batch, cleanText(by).trim(), happened);
        this.#db.exec('COMMIT');
        this.#tables.changed(facts);
        return facts;
      } catch (error) {
        if (this.#db.isTransaction) this.#db.exec('ROLLBACK');
        throw error;
      }
    });
  }

  #insertAll(batch: string, by: string, happened: readonly Happened[]): Fact[] {
    this.#insert ??= this.#db.prepare(
      'INSERT INTO facts (seq, batch, kind, at, "by", body, hash) VALUES (?, ?, ?, ?, ?, ?, ?)',
    );
    const at = stamp(this.#now());
    let { seq, hash } = this.#seal() ?? { seq: 0, hash: FIRST_LINK };
    const facts: Fact[] = [];
    for (const each of happened) {
      seq += 1;
      const place = { batch, seq, at, by };
      // The place stands first in the text, and wins over any that came with what happened.
      const checked = checkFact({ ...place, ...each, ...place });
      if (!checked.ok) throw notWhole(checked.why);
      if (each.kind === 'batch-started' && this.#has(batch)) throw alreadyThere(batch);
      const body = JSON.stringify({ ...place, ...each, ...place });
      hash = link(hash, body);
      this.#insert.run(seq, batch, each.kind, at, by, body, hash);
      facts.push(checked.fact);
    }
    return facts;
  }

  #has(batch: string): boolean {
    return this.#db.prepare('SELECT 1 FROM facts WHERE batch = ? LIMIT 1').get(batch) !== undefined;
  }

  /**
   * The facts of one batch, or of all, in order. Each is checked against its hash and its columns.
   * @throws LogTrouble `damaged` at the first that does not hold
   */
  facts(batch?: string): Fact[] {
    return this.#try('read', () => {
      const rows =
        batch === undefined
          ? this.#db.prepare(`${WITH_PREVIOUS} ORDER BY f.seq`).all()
          : this.#db.prepare(`${WITH_PREVIOUS} WHERE f.batch = ? ORDER BY f.seq`).all(batch);
      return rows.map((row) => this.#checked(row));
    });
  }

  /**
   * The facts of one kind among the last so many of the whole log, the newest first; checked like all. However long the
   * log has grown, the look at it stays as short; and it ends with whoever has seen enough.
   * @throws LogTrouble `damaged` at the first that does not hold
   */
  *latest(kind: FactKind, within: number): Generator<Fact, void, undefined> {
    const rows = this.#try('read', () => {
      const after = (this.#seal()?.seq ?? 0) - within;
      return this.#db
        .prepare(`${WITH_PREVIOUS} WHERE f.seq > ? AND f.kind = ? ORDER BY f.seq DESC`)
        .iterate(after, kind);
    });
    try {
      for (;;) {
        const next = this.#try('read', () => rows.next());
        if (next.done) return;
        yield this.#try('read', () => this.#checked(next.value));
      }
    } finally {
      rows.return?.(); // an unfinished look would keep the journal from being taken over
    }
  }

  /**
   * Facts as they lie in the file behind a place, in order, at most so many; nothing about them is proved.
   * @throws LogTrouble
   */
  rows(after: number, most: number): LogRow[] {
    return this.#try('read', () => {
      this.#rows ??= this.#db.prepare(`SELECT ${ROW} FROM facts f WHERE f.seq > ? ORDER BY f.seq LIMIT ?`);
      return this.#rows.all(after, most).map((row) => {
        const { seq, batch, kind, at, by, body, hash } = row;
        return {
          seq: Number(seq),
          batch: String(batch),
          kind: String(kind),
          at: String(at),
          by: String(by),
          body: String(body),
          hash: String(hash),
        };
      });
    });
  }

  #checked(row: Readonly<Record<string, unknown>>): Fact {
    const before = row.seq === 1 ? FIRST_LINK : row.previous;
    const checked =
      typeof before === 'string'
        ? checkRow(row as unknown as StoredFact, [before])
        : { ok: false as const, faults: ['the fact before it is missing'] };
    if (checked.ok) return checked.fact;
    throw damagedFact(this.file, row.seq, checked.faults);
  }

  /** All batches, in the order in which they were begun; `list` has them one by one. @throws LogTrouble */
  batches(): BatchEntry[] {
    return this.list.all();
  }

  /** The open ones, without a look at all others. @throws LogTrouble */
  openBatches(): BatchEntry[] {
    return this.list.open();
  }

  /** The newest check of a scale; of all others none is read. @throws LogTrouble `damaged` */
  lastCheck(scale: string): Fact | undefined {
    return this.#try('read', () => {
      const row = this.#db.prepare(LAST_CHECK).get(SCALES, scale);
      return row && this.#checked(row);
    });
  }

  /** The first id of the day that no batch has: `2026-11-25-1`. @param day `YYYY-MM-DD`, by default today */
  newBatchId(day: string = stamp(this.#now()).slice(0, 10)): string {
    return this.#try('read', () => {
      let last = 0;
      // `.` comes right after `-`: all ids of that day lie between, and no others are looked at.
      const ofDay = this.#db.prepare('SELECT DISTINCT batch FROM facts WHERE batch >= ? AND batch < ?');
      for (const { batch } of ofDay.all(`${day}-`, `${day}.`)) {
        if (typeof batch !== 'string') continue;
        const number = Number(batch.slice(day.length + 1));
        if (Number.isSafeInteger(number)) last = Math.max(last, number);
      }
      return `${day}-${last + 1}`;
    });
  }

  /** The hash at the last fact of a batch, or of the whole log; null when there is none. @throws LogTrouble */
  seal(batch?: string): Seal | null {
    return this.#try('read', () => this.#seal(batch));
  }

  #seal(batch?: string): Seal | null {
    const row =
      batch === undefined
        ? this.#last.get()
        : this.#db.prepare('SELECT seq, hash FROM facts WHERE batch = ? ORDER BY seq DESC LIMIT 1').get(batch);
    if (!row) return null;
    if (typeof row.seq !== 'number' || typeof row.hash !== 'string') throw damagedFact(this.file, row.seq, ['no hash']);
    return { seq: row.seq, hash: row.hash };
  }

  /**
   * Looks at stock as the log keeps it counted. Where it does not (an older log, opened only to read), all facts are
   * counted first.
   * @throws LogTrouble
   */
  stock<T>(look: (stock: StockLook) => T): T {
    return this.#try('read', () => look(this.#tables.stock));
  }

  /** Looks at traced batches; kept, or counted first, as `stock` does. @throws LogTrouble */
  traced<T>(look: (trace: TraceLook) => T): T {
    return this.#try('read', () => look(this.#tables.trace));
  }

  /**
   * Counts what the tables beside the facts lack, a little at a time: in the log of an older bismar, everything. It may be
   * stopped at any moment, and goes on from there the next time.
   * @param told is called after each step, with how many facts are counted and how many there are
   * @throws LogTrouble
   */
  async catchUp(told: (done: number, all: number) => void = () => {}): Promise<void> {
    for (;;) {
      const { done, all } = this.#try('record', () => this.#tables.step());
      told(done, all);
      if (done >= all) return;
      await new Promise((resolve) => setImmediate(resolve));
    }
  }

  /** Counts stock and traces batches anew from all facts, and keeps that. @throws LogTrouble */
  countStockAnew(): void {
    this.#try('record', () => this.#tables.rebuild());
  }

  /** Closes the file; what was recorded is already safe. Closing twice does nothing. */
  close(): void {
    if (!this.#db.isOpen) return;
    this.#tables.close();
    this.#db.close();
  }

  #try<T>(doing: Doing, work: () => T): T {
    try {
      return work();
    } catch (error) {
      throw troubleOf(error, this.file, doing);
    }
  }
}

function notWhole(why: string): LogTrouble {
  if (why.includes(TOO_MUCH)) return tooMuch();
  return new LogTrouble(
    'failed',
    `Not recorded: bismar made a fact that is not whole (${why}). All facts recorded before are safe. Please report this fault.`,
  );
}

function alreadyThere(batch: string): LogTrouble {
  return new LogTrouble(
    'failed',
    `Not recorded: there is already a batch ${cleanText(batch)}. It is unchanged; begin again, and this one gets the next number.`,
  );
}
