/** A backup is the state of one moment, comes back whole, and nothing that is wrong with it is taken for good. */
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { describe, expect, test } from 'vitest';
import { backUp, restore } from '../../src/records/backup.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { sampleHappened } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const BATCH = '2026-11-25-1';

async function workshop() {
  const around = tempFolder();
  const folder = join(around, 'workshop');
  cpSync('fixtures/demo', folder, { recursive: true });
  const log = openLog(join(folder, 'batches.db'));
  await log.append(BATCH, 'Mara', sampleHappened());
  return { around, folder, log, file: join(around, 'kept.bismar'), target: join(around, 'again') };
}

test('what comes back is what was there, while the log is open and written on', async () => {
  const { folder, log, file, target } = await workshop();
  const then = log.facts();
  const made = backUp(folder, file);
  await log.append(BATCH, 'Mara', [{ kind: 'resumed' }]);
  expect(made).toMatchObject({ facts: then.length, files: ['workshop.yaml', 'formulas/cornflower-oat-bar.yaml'] });
  expect(restore(file, target)).toMatchObject({ facts: then.length, lastHash: made.lastHash });
  const again = openLog(join(target, 'batches.db'));
  expect(again.facts()).toEqual(then);
  for (const path of made.files) expect(readFileSync(join(target, path))).toEqual(readFileSync(join(folder, path)));
  // It can be weighed on in.
  const [next] = await again.append(BATCH, 'Mara', [{ kind: 'resumed' }]);
  expect(next?.seq).toBe(then.length + 1);
  again.close();
  log.close();
});

test('a workshop in which nothing was begun yet', () => {
  const around = tempFolder();
  const folder = join(around, 'workshop');
  cpSync('fixtures/demo', folder, { recursive: true });
  expect(backUp(folder, join(around, 'kept'))).toMatchObject({ facts: 0, lastHash: null });
  expect(restore(join(around, 'kept'), join(around, 'again'))).toMatchObject({ facts: 0 });
  expect(existsSync(join(folder, 'batches.db'))).toBe(false);
});

test('nobody weighs on in a backup by mistake', async () => {
  const { folder, file } = await workshop();
  backUp(folder, file);
  expect(() => openLog(file)).toThrow(/not a batch log/);
});

describe('nothing is overwritten, and nothing half made is left', () => {
  test('a file of that name', async () => {
    const { around, folder, file } = await workshop();
    writeFileSync(file, 'mine');
    expect(() => backUp(folder, file)).toThrow(/already a file kept\.bismar, and it stays as it is/);
    expect(readFileSync(file, 'utf8')).toBe('mine');
    expect(readdirSync(around).sort()).toEqual(['kept.bismar', 'workshop']);
  });

  test('a folder with something in it', async () => {
    const { folder, file, target } = await workshop();
    backUp(folder, file);
    mkdirSync(target);
    writeFileSync(join(target, 'mine'), '');
    expect(() => restore(file, target)).toThrow(/not empty, and nothing in it was changed/);
    expect(readdirSync(target)).toEqual(['mine']);
  });

  test.each([
    ['a log', (folder: string) => join(folder, 'batches.db'), /is a batch log, not a backup/],
    ['another file', (folder: string) => join(folder, 'workshop.yaml'), /is no backup of bismar/],
    ['no file', (folder: string) => join(folder, 'nowhere'), /There is no file/],
  ])('%s instead of a backup', async (_, of, say) => {
    const { around, folder, log, target } = await workshop();
    log.close();
    expect(() => restore(of(folder), target)).toThrow(say);
    expect(readdirSync(around)).toEqual(['workshop']);
  });
});

describe('a damaged log', () => {
  /** Changes one fact of a file, without its guards. */
  function spoil(file: string): void {
    const db = new DatabaseSync(file, { defensive: false });
    db.exec(`DROP TRIGGER facts_stay; UPDATE facts SET body = replace(body, 'Mara', 'Mira') WHERE seq = 2`);
    db.close();
  }

  test('is not backed up as if it were whole', async () => {
    const { around, folder, log, file } = await workshop();
    log.close();
    spoil(join(folder, 'batches.db'));
    expect(() => backUp(folder, file)).toThrow(/is damaged .*, so nothing was written/);
    expect(readdirSync(around)).toEqual(['workshop']);
  });

  test('is not restored', async () => {
    const { folder, file, target } = await workshop();
    backUp(folder, file);
    spoil(file);
    expect(() => restore(file, target)).toThrow(/is damaged .*, so nothing was written/);
    expect(existsSync(target)).toBe(false);
  });

  test('nor one that was cut short', async () => {
    const { folder, file, target } = await workshop();
    backUp(folder, file);
    truncateSync(file, 8192);
    expect(() => restore(file, target)).toThrow(/damaged/);
    expect(existsSync(target)).toBe(false);
  });
});

test('no path in a backup leads out of the folder, and no link is followed out of the workshop', async () => {
  const { around, folder, file, target } = await workshop();
  writeFileSync(join(around, 'secret.yaml'), 'secret');
  symlinkSync(join(around, 'secret.yaml'), join(folder, 'formulas', 'link.yaml'));
  expect(backUp(folder, file).files).not.toContain('formulas/link.yaml');
  const db = new DatabaseSync(file);
  const insert = db.prepare('INSERT INTO kept_files VALUES (?, ?)');
  for (const path of [
    '../evil.yaml',
    'formulas/../../evil.yaml',
    '/tmp/evil.yaml',
    'formulas/..\\evil.yaml',
    'batches.db',
  ]) {
    insert.run(path, new Uint8Array());
  }
  db.close();
  expect(restore(file, target).files).toEqual(['formulas/cornflower-oat-bar.yaml', 'workshop.yaml']);
  expect(readdirSync(around).sort()).toEqual(['again', 'kept.bismar', 'secret.yaml', 'workshop']);
});
