/** Folders of their own for tests; removed when all tests of the file are done. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

const made: string[] = [];
afterAll(() => {
  for (const folder of made) rmSync(folder, { recursive: true, force: true });
});

/** For histories that are only written to be looked at: they need not go through a real disk. */
export const IN_MEMORY = existsSync('/dev/shm') ? '/dev/shm' : tmpdir();

export function tempFolder(where = tmpdir()): string {
  const folder = mkdtempSync(join(where, 'bismar-records-'));
  made.push(folder);
  return folder;
}
