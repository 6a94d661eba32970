/** Folders of their own for tests; removed when all tests of the file are done. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

const made: string[] = [];
afterAll(() => {
  for (const folder of made) rmSync(folder, { recursive: true, force: true });
});

export function tempFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-records-'));
  made.push(folder);
  return folder;
}
