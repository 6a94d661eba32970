/**
 * A whole workshop in one file: its batch log, and the files that people write. It can be made while a batch is weighed,
 * and is the state of one moment. The file is an SQLite file of its own kind, so that nobody weighs on in it by mistake.
 */
import {
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { cleanText } from '../facts/cleanText.ts';
import { sync, syncName } from './durably.ts';
import { lastSeq } from './factRows.ts';
import { APPLICATION_ID, LOG_FILE, openLogFile } from './logFile.ts';
import { LogTrouble, troubleOf } from './logTrouble.ts';
import { endOfFacts } from './lostEnd.ts';
import { BENCH_FILE } from './shared/benchId.ts';
import { type Verification, verifyLog } from './verify.ts';

/** "bsmb". */
const BACKUP_ID = 0x62_73_6d_62;
/** Files that people write, by their path in the workshop. */
const KEPT = /^(?:workshop\.yaml|(?:formulas|scales)\/[^/\\]{1,200}\.ya?ml)$/;
/** No file that people write is larger. */
const LARGEST_FILE = 1_000_000;

export interface BackedUp {
  readonly facts: number;
  /** Hash of the last fact; null where there is none. */
  readonly lastHash: string | null;
  /** Paths of the files that people wrote. */
  readonly files: readonly string[];
}

/**
 * Makes a backup.
 * @param folder the workshop's folder; another bismar may be weighing there
 * @param file must not be there yet
 * @throws LogTrouble a sentence; then there is no such file, and nothing was changed
 */
export function backUp(folder: string, file: string): BackedUp {
  refuseIfThere(file);
  const half = `${file}.half-${process.pid}`;
  try {
    rmSync(half, { force: true });
    copyLog(join(folder, LOG_FILE), half);
    const { facts, lastHash } = proven(half, folder);
    const files = keepFiles(folder, half);
    settle(half, file);
    return { facts, lastHash, files };
  } catch (error) {
    throw troubleOf(error, file, 'record');
  } finally {
    rmSync(half, { force: true });
  }
}

/**
 * Makes a workshop's folder from a backup, after its log is proved whole.
 * @param folder must not be there, or be empty
 * @throws LogTrouble a sentence; then the folder has no batch log
 */
export function restore(file: string, folder: string): BackedUp {
  const half = join(folder, `${LOG_FILE}.half-${process.pid}`);
  let isMade = false;
  try {
    if (!existsSync(file)) throw new LogTrouble('missing', `There is no file ${cleanText(file)}.`);
    if (existsSync(folder) && readdirSync(folder).length > 0) throw notEmpty(folder);
    isMade = mkdirSync(folder, { recursive: true }) !== undefined;
    writeFileSync(half, readFileSync(file), { mode: 0o600 });
    const files = takeFiles(half, file);
    const { facts, lastHash } = proven(half, file);
    for (const { path, content } of files) {
      mkdirSync(dirname(join(folder, path)), { recursive: true });
      writeFileSync(join(folder, path), content, { mode: 0o600, flag: 'wx' });
    }
    settle(half, join(folder, LOG_FILE));
    return { facts, lastHash, files: byPeople(files) };
  } catch (error) {
    rmSync(half, { force: true });
    if (isMade) rmSync(folder, { recursive: true, force: true });
    const trouble = troubleOf(error, file, 'open');
    throw trouble.trouble === 'foreign' && trouble !== error ? noBackup(file) : trouble;
  }
}

/** The workshop's files that people write: workshop.yaml, formulas, wire profiles. Links are not followed out of it. */
export function writtenFiles(folder: string): readonly { readonly path: string; readonly content: Buffer }[] {
  const paths = ['workshop.yaml', ...inFolder(folder, 'formulas'), ...inFolder(folder, 'scales')];
  return paths.flatMap((path) => {
    const whole = join(folder, path);
    if (!KEPT.test(path) || !existsSync(whole)) return [];
    const stat = lstatSync(whole);
    return stat.isFile() && stat.size <= LARGEST_FILE ? [{ path, content: readFileSync(whole) }] : [];
  });
}

/** Who the bench is for a shared history: put back from a backup it is the same one, as others may weigh for it. */
function idFile(folder: string): readonly { readonly path: string; readonly content: Buffer }[] {
  const file = join(folder, BENCH_FILE);
  return existsSync(file) ? [{ path: BENCH_FILE, content: readFileSync(file) }] : [];
}

function byPeople(files: readonly { readonly path: string }[]): string[] {
  return files.map(({ path }) => path).filter((path) => path !== BENCH_FILE);
}

function inFolder(folder: string, name: string): string[] {
  const there = join(folder, name);
  return existsSync(there)
    ? readdirSync(there)
        .sort()
        .map((each) => `${name}/${each}`)
    : [];
}

function copyLog(log: string, half: string): void {
  const source = toRead(log);
  if (!source) {
    openLogFile(half).close(); // nothing was begun here yet
    return;
  }
  try {
    refuseLostEnd(source, log);
    // One read transaction: the state of one moment, whoever writes meanwhile.
    source.prepare('VACUUM INTO ?').run(half);
  } catch (error) {
    if (error instanceof LogTrouble) throw error;
    // The copy was written, but it is the log that is broken.
    if (troubleOf(error, log, 'read').trouble === 'damaged') throw damaged(verifyLog(log), log);
    throw error;
  } finally {
    source.close();
  }
}

/** Of facts that a broken page hides at the very end the copy would show nothing. @throws LogTrouble `damaged` */
function refuseLostEnd(source: DatabaseSync, log: string): void {
  source.exec('BEGIN');
  const last = lastSeq(source);
  const end = endOfFacts(source, last);
  source.exec('COMMIT');
  if (end !== 'missing') return;
  throw new LogTrouble(
    'damaged',
    `The batch log in ${cleanText(log)} is damaged: facts after number ${last} were in it once, and can't be read any more. So nothing was written, and earlier backups are the better ones. Copy it as it is with a copy program, and run \`bismar verify\`.`,
  );
}

function toRead(log: string): DatabaseSync | undefined {
  try {
    return openLogFile(log, { readOnly: true });
  } catch (error) {
    if (error instanceof LogTrouble && error.trouble === 'missing') return undefined;
    throw error;
  }
}

/** The proof of the copied log. @throws LogTrouble `damaged` */
function proven(half: string, of: string): Pick<BackedUp, 'facts' | 'lastHash'> {
  const found = verifyLog(half);
  if (found.ok) return found;
  throw damaged(found, of);
}

function damaged({ damages, factsWhole, facts }: Verification, of: string): LogTrouble {
  const { seq, what } = damages[0] ?? { seq: null, what: 'it can not be read' };
  const next = factsWhole
    ? `Its ${facts} facts are whole: \`bismar verify --rebuild\` makes all else anew from them; then make the backup.`
    : 'Copy it as it is with a copy program, and run `bismar verify`.';
  return new LogTrouble(
    'damaged',
    `The batch log in ${cleanText(of)} is damaged (${seq === null ? '' : `fact ${seq}: `}${cleanText(what)}), so nothing was written. ${next}`,
  );
}

function keepFiles(folder: string, half: string): string[] {
  const files = [...writtenFiles(folder), ...idFile(folder)];
  const db = new DatabaseSync(half);
  try {
    db.exec('PRAGMA journal_mode = DELETE; PRAGMA synchronous = FULL; BEGIN');
    db.exec('CREATE TABLE kept_files (path TEXT PRIMARY KEY, content BLOB NOT NULL) STRICT');
    const insert = db.prepare('INSERT INTO kept_files (path, content) VALUES (?, ?)');
    for (const { path, content } of files) insert.run(path, content);
    db.exec(`PRAGMA application_id = ${BACKUP_ID}; COMMIT`);
  } finally {
    db.close();
  }
  return byPeople(files);
}

/** Takes the files out of a copy of a backup; what is left of it is the batch log. */
function takeFiles(half: string, file: string): { readonly path: string; readonly content: Uint8Array }[] {
  const db = new DatabaseSync(half);
  try {
    db.exec('PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON; PRAGMA synchronous = FULL');
    const id = Object.values(db.prepare('PRAGMA application_id').get() ?? {})[0];
    if (id === APPLICATION_ID) {
      throw new LogTrouble('foreign', `${cleanText(file)} is a batch log, not a backup; bismar backup makes one.`);
    }
    if (id !== BACKUP_ID) throw noBackup(file);
    const files = db
      .prepare('SELECT path, content FROM kept_files ORDER BY path')
      .all()
      .flatMap(({ path, content }) =>
        typeof path === 'string' && (KEPT.test(path) || path === BENCH_FILE) && content instanceof Uint8Array
          ? [{ path, content }]
          : [],
      );
    db.exec(`BEGIN; DROP TABLE kept_files; PRAGMA application_id = ${APPLICATION_ID}; COMMIT`);
    return files;
  } finally {
    db.close();
  }
}

/** Gives a finished file its name, on the disk for good. */
function settle(half: string, file: string): void {
  sync(half);
  refuseIfThere(file);
  renameSync(half, file);
  syncName(file);
}

function refuseIfThere(file: string): void {
  if (!existsSync(file)) return;
  throw new LogTrouble(
    'failed',
    `There is already a file ${cleanText(basename(file))}, and it stays as it is. Name another one.`,
  );
}

function noBackup(file: string): LogTrouble {
  return new LogTrouble(
    'foreign',
    `${cleanText(file)} is no backup of bismar, or its first bytes are damaged. Nothing was made of it.`,
  );
}

function notEmpty(folder: string): LogTrouble {
  return new LogTrouble(
    'failed',
    `The folder ${cleanText(folder)} is not empty, and nothing in it was changed. Name a new one.`,
  );
}
