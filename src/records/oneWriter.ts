/**
 * One writing process per workshop. The lock is a lock of the operating system, held through an open SQLite
 * transaction: it goes with its process, also when that is killed or the power fails, so none is ever left behind.
 * Readers of the batch log are not touched by it.
 */
import { readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { cleanText } from '../facts/cleanText.ts';
import { LogTrouble, troubleOf } from './logTrouble.ts';
import { stamp } from './stamp.ts';

/** The locked file. Nobody else may open and close it in this process: on POSIX that would drop the lock. */
const LOCK_FILE = 'bench.lock';
/** Who holds the lock. Only a hint for the sentence; it means nothing while the lock is free. */
const WHO_FILE = 'bench.who';

/** The right to write in a workshop. */
export interface WritingRight {
  /** Gives it back. Twice does nothing. */
  release(): void;
}

interface Holder {
  readonly pid: number;
  readonly host: string;
  /** Local time with offset. */
  readonly since: string;
}

/**
 * Takes the right to write in a workshop for this process, until it is released or the process ends in any way.
 * @param folder the workshop's folder
 * @throws LogTrouble `busy` naming the process that has it; `read-only`, `missing` or `full` when the lock can't be made
 */
export function takeWritingRight(folder: string, now: Date = new Date()): WritingRight {
  const file = join(folder, LOCK_FILE);
  let db: DatabaseSync | undefined;
  try {
    db = new DatabaseSync(file, { timeout: 0 });
    db.exec('PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE');
  } catch (error) {
    if (db?.isOpen) db.close();
    const trouble = troubleOf(error, file, 'open');
    throw trouble.trouble === 'busy' ? alreadyOpen(folder, now) : trouble;
  }
  sayWho(folder, { pid: process.pid, host: hostname(), since: stamp(now) });
  const held = db;
  return {
    release() {
      if (!held.isOpen) return;
      rmSync(join(folder, WHO_FILE), { force: true });
      held.close();
    },
  };
}

function sayWho(folder: string, holder: Holder): void {
  const file = join(folder, WHO_FILE);
  const half = `${file}.${holder.pid}`;
  try {
    writeFileSync(half, `${JSON.stringify(holder)}\n`, { mode: 0o600 });
    renameSync(half, file);
  } catch {
    // Without it the lock holds all the same; a second process then can't say who has it.
    rmSync(half, { force: true });
  }
}

function alreadyOpen(folder: string, now: Date): LogTrouble {
  const holder = readWho(folder);
  return new LogTrouble(
    'busy',
    `This workshop is already open in another bismar${holder ? ` (${describe(holder, now)})` : ''}. Weights there are safe. Close it first (there: x, then q) and say this again; or watch with \`bismar log\`.`,
  );
}

function describe({ pid, host, since }: Holder, now: Date): string {
  const place = host === hostname() ? '' : ` on ${host}`;
  const time = since.slice(11, 16);
  const day = since.slice(0, 10) === stamp(now).slice(0, 10) ? '' : `${since.slice(0, 10)} `;
  return `process ${pid}${place}, since ${day}${time}`;
}

/** Who wrote that they hold the lock; undefined when that can't be read, or was left by a process that is gone. */
function readWho(folder: string): Holder | undefined {
  let holder: Partial<Record<keyof Holder, unknown>>;
  try {
    holder = JSON.parse(readFileSync(join(folder, WHO_FILE), 'utf8')) ?? {};
  } catch {
    return undefined;
  }
  const { pid, host, since } = holder;
  if (typeof pid !== 'number' || typeof host !== 'string' || typeof since !== 'string') return undefined;
  if (host === hostname() && !isAlive(pid)) return undefined;
  return { pid, host: cleanText(host).slice(0, 60), since: cleanText(since) };
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as { code?: unknown }).code === 'EPERM'; // it lives, and belongs to someone else
  }
}
