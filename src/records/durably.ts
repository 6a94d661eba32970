/** Files and their names on the disk for good. */
import { closeSync, fsyncSync, openSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

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
