/** Files and their names on the disk for good. */
import { closeSync, constants, copyFileSync, existsSync, fsyncSync, linkSync, openSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';

/** What was written to a file, also by another connection, reaches the disk. */
export function sync(path: string): void {
  const open = openSync(path, 'r');
  try {
    fsyncSync(open);
  } finally {
    closeSync(open);
  }
}

/** The name of a file (made, changed or gone) reaches the disk. */
export function syncName(file: string): void {
  if (process.platform !== 'win32') sync(dirname(resolve(file))); // a folder can't be synced there
}

/**
 * One more name for a broken file, in the same folder; its own name stays until a new file takes it.
 * @param day such as 2026-11-30
 * @returns the name, such as `batches.broken-2026-11-30.db`
 */
export function keepBeside(file: string, day: string): string {
  const stem = basename(file, '.db');
  for (let number = 1; ; number++) {
    const kept = `${stem}.broken-${day}${number === 1 ? '' : `-${number}`}.db`;
    const path = join(dirname(file), kept);
    if (existsSync(path)) continue;
    try {
      linkSync(file, path);
    } catch {
      // Some file systems have one name for a file only.
      copyFileSync(file, path, constants.COPYFILE_EXCL);
      sync(path);
    }
    syncName(path);
    return kept;
  }
}
