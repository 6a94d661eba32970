/**
 * Who this bench is for the shared history: an id that is made once and kept beside the log. A copy of the folder has the
 * same one; that is noticed as soon as the two logs differ (`send.ts`), and `newBenchId` then makes it another bench.
 */
import { randomUUID } from 'node:crypto';
import { linkSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { LogTrouble, troubleOf } from '../logTrouble.ts';

/** Its file in the workshop's folder. */
export const BENCH_FILE = 'bench.id';
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

/** The bench's id; made where there is none. @throws LogTrouble */
export function benchId(folder: string): string {
  const file = join(folder, BENCH_FILE);
  try {
    return read(file);
  } catch (error) {
    if ((error as { code?: unknown }).code !== 'ENOENT') throw troubleOf(error, file, 'read');
  }
  return write(file, (half) => {
    try {
      linkSync(half, file); // unlike a renaming it never takes the place of an id that another process has made meanwhile
    } catch (error) {
      if ((error as { code?: unknown }).code !== 'EEXIST') throw error;
    }
    rmSync(half, { force: true });
  });
}

/** Makes this folder another bench. @throws LogTrouble */
export function newBenchId(folder: string): string {
  const file = join(folder, BENCH_FILE);
  return write(file, (half) => renameSync(half, file));
}

function read(file: string): string {
  const id = readFileSync(file, 'utf8').trim();
  if (UUID.test(id)) return id;
  throw new LogTrouble('damaged', `${cleanText(file)} holds no bench's id. \`bismar shared anew\` makes a new one.`);
}

function write(file: string, put: (half: string) => void): string {
  const half = `${file}.${process.pid}`;
  try {
    writeFileSync(half, `${randomUUID()}\n`, { mode: 0o600, flush: true });
    put(half);
    return read(file);
  } catch (error) {
    rmSync(half, { force: true });
    throw troubleOf(error, file, 'record');
  }
}
