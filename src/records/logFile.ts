/** The file of the batch log: how it is made, opened and told apart from other files. */
import { closeSync, existsSync, fsyncSync, openSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { pathToFileURL } from 'node:url';
import { LogTrouble, told, troubleOf } from './logTrouble.ts';

/** The name of the batch log in a workshop's folder. */
export const LOG_FILE = 'batches.db';

/** Marks the file as ours: "bsmr". */
export const APPLICATION_ID = 0x62_73_6d_72;
/** Raised whenever an older bismar could misread the file. */
export const SCHEMA_VERSION = 1;

/** Pages of the journal that the facts let be; `openForTables` takes it over at 1,000 (SQLite's own figure) already. */
const MOST_JOURNAL = 4000;

/** Everything that the file defines. The triggers hold rule 4: facts are added at the end, and never changed. */
export const SCHEMA: Readonly<Record<string, string>> = {
  facts: `CREATE TABLE facts (
  seq INTEGER PRIMARY KEY CHECK (seq >= 1),
  batch TEXT NOT NULL,
  kind TEXT NOT NULL,
  at TEXT NOT NULL,
  "by" TEXT NOT NULL,
  body TEXT NOT NULL,
  hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT`,
  facts_by_batch: 'CREATE INDEX facts_by_batch ON facts (batch, seq)',
  one_start: `CREATE UNIQUE INDEX one_start ON facts (batch) WHERE kind = 'batch-started'`,
  facts_in_order: `CREATE TRIGGER facts_in_order BEFORE INSERT ON facts
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM facts)
BEGIN SELECT RAISE(ABORT, 'facts are added at the end'); END`,
  facts_stay: `CREATE TRIGGER facts_stay BEFORE UPDATE ON facts
BEGIN SELECT RAISE(ABORT, 'facts are never changed'); END`,
  facts_remain: `CREATE TRIGGER facts_remain BEFORE DELETE ON facts
BEGIN SELECT RAISE(ABORT, 'facts are never removed'); END`,
};

export interface FileOptions {
  /** Only look: nothing is made or changed. Default false. */
  readonly readOnly?: boolean;
  /** How long to wait for another program that holds the file, milliseconds; the event loop waits too. Default 2000. */
  readonly busyMs?: number;
}

/**
 * Opens the batch log, and makes it where there is none (readable by its owner only).
 * @throws LogTrouble
 */
export function openLogFile(file: string, { readOnly = false, busyMs = 2000 }: FileOptions = {}): DatabaseSync {
  let db: DatabaseSync | undefined;
  try {
    if (readOnly) return openToRead(file, busyMs);
    makeFile(file);
    db = new DatabaseSync(file, { timeout: busyMs });
    checkKind(db, file, 'may be made');
    const { journal_mode } = db.prepare('PRAGMA journal_mode = WAL').get() ?? {};
    if (journal_mode !== 'wal') throw told('failed', file, 'open', `its journal stays "${journal_mode}"`);
    db.exec(`PRAGMA synchronous = FULL; PRAGMA fullfsync = ON; PRAGMA wal_autocheckpoint = ${MOST_JOURNAL}`);
    makeSchema(db, file);
    return db;
  } catch (error) {
    if (db?.isOpen) db.close();
    throw troubleOf(error, file, 'open');
  }
}

/** How long the tables beside the facts wait for another program: they have time, the maker has none. */
const TABLES_BUSY_MS = 200;

/**
 * One more connection to a log that was opened just now, for the tables beside the facts: its commits are written in order
 * with the facts', but not synced. The journal is taken over into the file from here, so that no fact waits for that.
 * Opened any later, it might find another file in that place, and would give the facts' journal to that one.
 * @throws LogTrouble
 */
export function openForTables(file: string): DatabaseSync {
  let db: DatabaseSync | undefined;
  try {
    db = checked(new DatabaseSync(file, { timeout: TABLES_BUSY_MS }), file);
    db.exec('PRAGMA synchronous = NORMAL; PRAGMA fullfsync = ON');
    return db;
  } catch (error) {
    if (db?.isOpen) db.close();
    throw troubleOf(error, file, 'open');
  }
}

function openToRead(file: string, busyMs: number): DatabaseSync {
  if (!existsSync(file)) throw new LogTrouble('missing', `There is no batch log ${file} yet: no batch was begun here.`);
  try {
    return checked(new DatabaseSync(file, { readOnly: true, timeout: busyMs }), file);
  } catch (error) {
    if (troubleOf(error, file, 'open').trouble !== 'read-only' || existsSync(`${file}-wal`)) throw error;
    // On a read-only disk SQLite can't make the shared memory that its write-ahead log asks for. No writer can be
    // at work there either, so the file may be read as one that never changes.
    const unchanging = pathToFileURL(resolve(file));
    unchanging.searchParams.set('immutable', '1');
    return checked(new DatabaseSync(unchanging, { readOnly: true }), file);
  }
}

function checked(db: DatabaseSync, file: string): DatabaseSync {
  try {
    checkKind(db, file, 'must be made');
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

/** Makes an empty file with narrow permissions, so that it is in the folder for good before facts rely on it. */
function makeFile(file: string): void {
  let made: number;
  try {
    made = openSync(file, 'wx', 0o600);
  } catch (error) {
    if ((error as { code?: unknown }).code === 'EEXIST') return;
    throw error;
  }
  closeSync(made);
  if (process.platform === 'win32') return; // a folder can't be synced there
  const folder = openSync(dirname(resolve(file)), 'r');
  fsyncSync(folder);
  closeSync(folder);
}

/** A whole number that a PRAGMA answers with. */
function pragma(db: DatabaseSync, name: string): number {
  return Number(Object.values(db.prepare(`PRAGMA ${name}`).get() ?? {})[0]);
}

function checkKind(db: DatabaseSync, file: string, empty: 'may be made' | 'must be made'): void {
  db.exec('PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON');
  const id = pragma(db, 'application_id');
  const version = pragma(db, 'user_version');
  const untouched = id === 0 && version === 0 && pragma(db, 'schema_version') === 0;
  if (untouched) {
    if (empty === 'may be made') return;
    throw new LogTrouble('missing', `The batch log ${file} is still empty: no batch was begun here.`);
  }
  if (id !== APPLICATION_ID || version < 1) throw told('foreign', file, 'open');
  if (version > SCHEMA_VERSION) throw told('newer', file, 'open');
}

function makeSchema(db: DatabaseSync, file: string): void {
  if (pragma(db, 'user_version') !== 0) return;
  db.exec('BEGIN IMMEDIATE');
  try {
    // Another process may have made it between the look and the lock.
    if (pragma(db, 'user_version') === 0) {
      db.exec(`${Object.values(SCHEMA).join(';\n')};
        PRAGMA application_id = ${APPLICATION_ID};
        PRAGMA user_version = ${SCHEMA_VERSION};`);
    }
    db.exec('COMMIT');
  } catch (error) {
    if (db.isTransaction) db.exec('ROLLBACK');
    throw error;
  }
  checkKind(db, file, 'must be made');
}
