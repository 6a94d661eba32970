/**
 * Makes a log with broken pages anew, where its facts are whole: they are copied as they are, hash by hash, into a fresh
 * file, all else is made from them, and the fresh file takes the place of the broken one, which is kept beside it.
 */
import { chmodSync, existsSync, realpathSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { DatabaseSync } from 'node:sqlite';
import { cleanText } from '../facts/cleanText.ts';
import type { Seal } from './batchLog.ts';
import { checkRow, FIRST_LINK, type StoredFact } from './chain.ts';
import { keepBeside, sync, syncName } from './durably.ts';
import { LOG_FILE, openForTables, openLogFile } from './logFile.ts';
import { damagedFact, LogTrouble, troubleOf } from './logTrouble.ts';
import { endOfFacts } from './lostEnd.ts';
import { takeWritingRight } from './oneWriter.ts';
import { stamp } from './stamp.ts';
import { Summaries } from './summaries.ts';
import { type Verification, verifyLog } from './verify.ts';

/** Moments between two steps, in order: a kill at any of them leaves the old log or the new one in place. */
export type RebuildMoment = 'alone' | 'copied' | 'made' | 'proved' | 'kept' | 'in place';

export interface RebuildOptions {
  /** A printed place and hash, as for `verifyLog`. */
  readonly printed?: Seal | undefined;
  /** Names the kept file. Default: the machine's clock. */
  readonly now?: Date;
  /** Called at each moment, for tests. */
  readonly at?: (moment: RebuildMoment) => void;
}

export type Rebuilt =
  | { readonly done: false; readonly found: Verification }
  | {
      readonly done: true;
      readonly found: Verification;
      /** The proof of the new log. */
      readonly proof: Verification;
      /** Name of the broken file, in the same folder. */
      readonly kept: string;
    };

/**
 * @param folder the workshop's folder; nobody else may have its log open
 * @returns `done: false`, and nothing changed, where nothing is damaged or the facts themselves are
 * @throws LogTrouble `busy` while another process has the log, and whatever else stops it; the old log is then in its place
 */
export function rebuildLog(folder: string, options: RebuildOptions = {}): Rebuilt {
  const { printed, now = new Date(), at = () => {} } = options;
  const named = join(folder, LOG_FILE);
  const right = takeWritingRight(folder, now);
  try {
    const found = verifyLog(named, printed);
    if (found.ok || !found.factsWhole) return { done: false, found };
    const file = realpathSync(named);
    const half = `${file}.half`;
    try {
      clear(half); // what a rebuild that was killed may have left
      const { proof, kept } = replace(file, half, found, { printed, now, at });
      return { done: true, found, proof, kept };
    } finally {
      clear(half);
    }
  } catch (error) {
    throw troubleOf(error, named, 'open');
  } finally {
    right.release();
  }
}

function replace(file: string, half: string, found: Verification, options: Required<RebuildOptions>) {
  const { printed, now, at } = options;
  const old = alone(file);
  try {
    at('alone');
    refuseLostEnd(old, file, found, printed);
    copyFacts(old, half, file);
    at('copied');
    makeTables(half);
    at('made');
    const proof = verifyLog(half, printed);
    if (!proof.ok || proof.facts !== found.facts || proof.lastHash !== found.lastHash) throw notTheSame(file, proof);
    chmodSync(half, statSync(file).mode & 0o777);
    sync(half);
    at('proved');
    const kept = keepBeside(file, stamp(now).slice(0, 10));
    at('kept');
    renameSync(half, file);
    syncName(file);
    at('in place');
    return { proof, kept };
  } finally {
    old.close();
  }
}

/**
 * The broken log, locked against everybody, and without a journal: SQLite would take one that lies beside the name of the
 * log for the new file's, and play old pages into it.
 */
function alone(file: string): DatabaseSync {
  const db = openForTables(file);
  try {
    const { journal_mode } = db.prepare('PRAGMA journal_mode = DELETE').get() ?? {};
    if (journal_mode !== 'delete' || existsSync(`${file}-wal`)) {
      throw new LogTrouble('busy', `Not mended: another program has ${cleanText(file)} open. Close it and try again.`);
    }
    db.exec('BEGIN EXCLUSIVE');
    return db;
  } catch (error) {
    db.close();
    throw error;
  }
}

function refuseLostEnd(old: DatabaseSync, file: string, { facts, lastHash }: Verification, printed?: Seal): void {
  // A printed hash of the very last fact vouches for the end by itself.
  if (printed && printed.seq === facts && printed.hash === lastHash) return;
  const end = endOfFacts(old, facts);
  if (end === 'sure') return;
  const why =
    end === 'missing'
      ? `facts after number ${facts} were in it once, and can't be read any more`
      : `whether facts after number ${facts} are missing can't be told from it: compare with the newest printed record (\`bismar verify --rebuild --last SEQ:HASH\`)`;
  throw new LogTrouble(
    'damaged',
    `Not mended: the ${facts} facts that can be read in ${cleanText(file)} are whole, but ${why}. Nothing in it was changed. Copy the file as it is, and bring a backup back (\`bismar restore FILE DIR\`).`,
  );
}

/** Every fact as it is, each proved by its hash once more while nobody can write. */
function copyFacts(old: DatabaseSync, half: string, file: string): void {
  const fresh = openLogFile(half);
  try {
    fresh.exec('BEGIN IMMEDIATE');
    const insert = fresh.prepare(
      'INSERT INTO facts (seq, batch, kind, at, "by", body, hash) VALUES (?, ?, ?, ?, ?, ?, ?)',
    );
    let previous = FIRST_LINK;
    for (const row of old.prepare('SELECT * FROM facts NOT INDEXED ORDER BY seq').iterate()) {
      const checked = checkRow(row as StoredFact, [previous]);
      if (!checked.ok) throw damagedFact(file, row.seq, checked.faults);
      const { seq, batch, kind, at, by, body, hash } = row;
      insert.run(...([seq, batch, kind, at, by, body, hash] as (string | number)[]));
      previous = String(hash);
    }
    fresh.exec('COMMIT');
  } finally {
    fresh.close();
  }
}

function makeTables(half: string): void {
  const db = openLogFile(half);
  const tables = new Summaries(db, openForTables(half));
  try {
    tables.rebuild();
  } catch (error) {
    if (!(error instanceof RangeError)) throw error; // facts that can't be counted stay without: the proof tells it
  } finally {
    tables.close();
  }
  try {
    db.exec('PRAGMA journal_mode = DELETE'); // one file, which a rename moves whole; whoever opens it begins a journal
  } finally {
    db.close();
  }
}

function clear(half: string): void {
  for (const part of ['', '-wal', '-shm', '-journal']) rmSync(`${half}${part}`, { force: true });
}

function notTheSame(file: string, { damages }: Verification): LogTrouble {
  return new LogTrouble(
    'failed',
    `Not mended: what was made anew from ${cleanText(file)} did not prove to be the same (${cleanText(damages[0]?.what ?? 'other facts')}). The log is in its place as it was. Please report this fault.`,
  );
}
