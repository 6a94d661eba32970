/** `--html FILE` makes a page, and never takes something else's place. */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { writePage } from '../../../src/cli/records/writePage.ts';
import { tempFolder } from '../../records/tempFolder.ts';

test('a new file, and a page that is there already', () => {
  const file = join(tempFolder(), 'record.html');
  writePage(file, '<!doctype html>\none');
  writePage(file, '<!doctype html>\ntwo');
  expect(readFileSync(file, 'utf8')).toBe('<!doctype html>\ntwo');
});

test.each(['batches.db', 'workshop.yaml', 'empty'])('%s stays as it is', (name) => {
  const file = join(tempFolder(), name);
  const before = name === 'empty' ? '' : 'SQLite format 3\0';
  writeFileSync(file, before);
  expect(() => writePage(file, '<!doctype html>')).toThrow(/is there already and is no page, so it stays as it is/);
  expect(readFileSync(file, 'utf8')).toBe(before);
});

test('a folder that is not there', () => {
  expect(() => writePage(join(tempFolder(), 'none', 'a.html'), '<!doctype html>')).toThrow(
    /could not be written \(ENOENT\)/,
  );
});
