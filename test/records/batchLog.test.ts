import { createHash } from 'node:crypto';
import { chmodSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { BatchLog, openLog } from '../../src/records/batchLog.ts';
import { openLogFile } from '../../src/records/logFile.ts';
import { LogTrouble } from '../../src/records/logTrouble.ts';
import { g, sampleHappened, samplePlan, weighed } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const started: Happened = { kind: 'batch-started', plan: samplePlan };
const now = () => new Date('2026-11-25T09:00:23.120Z');

function newLog() {
  const file = join(tempFolder(), 'batches.db');
  return { file, log: openLog(file, { now }) };
}

/** Opens the file beside the log, without its guards. */
function raw(file: string): DatabaseSync {
  return new DatabaseSync(file, { timeout: 0, defensive: false });
}

async function troubleFrom(work: () => unknown): Promise<LogTrouble> {
  try {
    await work();
  } catch (error) {
    if (error instanceof LogTrouble) return error;
    throw error;
  }
  throw new Error('nothing went wrong');
}

test('facts come back as they were given, sealed with batch, place, time and operator', async () => {
  const { file, log } = newLog();
  const happened = sampleHappened();
  const stored = await log.append('2026-11-25-1', 'Mara', happened);
  expect(stored.map(({ seq }) => seq)).toEqual(happened.map((_, index) => index + 1));
  expect(stored.map(({ batch: _b, seq: _s, at: _a, by: _w, ...rest }) => rest)).toEqual(happened);
  expect(new Set(stored.map(({ batch, by, at }) => `${batch} ${by} ${new Date(at).toISOString()}`))).toEqual(
    new Set(['2026-11-25-1 Mara 2026-11-25T09:00:23.120Z']),
  );
  expect(log.facts()).toEqual(stored);
  log.close();
  expect(openLog(file, { readOnly: true }).facts('2026-11-25-1')).toEqual(stored);
});

test('each hash is the SHA-256 of the one before, a line feed and the exact body', async () => {
  const { file, log } = newLog();
  await log.append('b', 'Mara', [started, { kind: 'gathered' }]);
  await log.append('b', 'Jo', [{ kind: 'resumed' }]);
  let before = '0'.repeat(64);
  const rows = raw(file).prepare('SELECT * FROM facts ORDER BY seq').all();
  expect(rows).toHaveLength(3);
  for (const { seq, batch, kind, at, by, body, hash } of rows) {
    expect(JSON.parse(String(body))).toMatchObject({ seq, batch, kind, at, by });
    before = createHash('sha256').update(`${before}\n${body}`).digest('hex');
    expect(hash).toBe(before);
  }
  expect(log.seal()).toEqual({ seq: 3, hash: before });
});

test('no fact can be changed, removed, replaced or put in between', async () => {
  const { file, log } = newLog();
  await log.append('b', 'Mara', [started, { kind: 'gathered' }]);
  const db = raw(file);
  expect(() => db.exec(`UPDATE facts SET "by" = 'Jo'`)).toThrow('never changed');
  expect(() => db.exec('DELETE FROM facts WHERE seq = 2')).toThrow('never removed');
  const row = `'b', 'gathered', 'x', 'x', 'x', '${'0'.repeat(64)}'`;
  for (const seq of [0, 2, 4]) {
    for (const verb of ['INSERT', 'INSERT OR REPLACE']) {
      expect(() => db.exec(`${verb} INTO facts VALUES (${seq}, ${row})`), `${verb} ${seq}`).toThrow();
    }
  }
  expect(log.facts()).toHaveLength(2);
});

test('the facts of one call are stored all or none', async () => {
  const { log } = newLog();
  await log.append('b', 'Mara', [started]);
  const broken = { ...weighed('A1', g(55)), net: 1.5 } as unknown as Happened;
  const trouble = await troubleFrom(() => log.append('b', 'Mara', [{ kind: 'gathered' }, broken]));
  expect(trouble.message).toMatch(/^Not recorded: .*net: .*All facts recorded before are safe/);
  expect(log.facts()).toHaveLength(1);
  expect((await log.append('b', 'Mara', [{ kind: 'gathered' }]))[0]?.seq).toBe(2);
  expect(await log.append('b', 'Mara', [])).toEqual([]);
});

test('a place that comes with what happened does not win', async () => {
  const { log } = newLog();
  const foreign = { ...started, seq: 99, batch: 'other', by: 'nobody', at: '2001-01-01T00:00:00.000+00:00' };
  const [fact] = await log.append('b', 'Mara', [foreign]);
  expect(fact).toMatchObject({ seq: 1, batch: 'b', by: 'Mara' });
  expect(log.facts()).toEqual([fact]);
});

test('a batch begins once', async () => {
  const { log } = newLog();
  await log.append('b', 'Mara', [started]);
  const trouble = await troubleFrom(() => log.append('b', 'Mara', [started]));
  expect(trouble.message).toContain('already a batch b');
  expect(log.facts()).toHaveLength(1);
});

test('a clock that goes back is written down as it is', async () => {
  const file = join(tempFolder(), 'batches.db');
  let clock = new Date('2026-11-25T09:00:00.000Z');
  const log = openLog(file, { now: () => clock });
  await log.append('b', 'Mara', [started]);
  clock = new Date('2026-11-25T08:00:00.000Z');
  await log.append('b', 'Mara', [{ kind: 'gathered' }]);
  const times = log.facts().map(({ at }) => new Date(at).toISOString());
  expect(times).toEqual(['2026-11-25T09:00:00.000Z', '2026-11-25T08:00:00.000Z']);
});

test('hostile operator names are cleaned before they are stored', async () => {
  const { log } = newLog();
  const [fact] = await log.append('b', 'Ma\u001b[31mra\u0000\u202e\ud800', [started]);
  expect(fact?.by).toBe('Mara\ufffd');
  expect(log.facts()).toEqual([fact]);
  await expect(log.append('b', '\u001b[0m', [{ kind: 'gathered' }])).rejects.toThrow('by: ');
});

test('batches are listed with how they stand', async () => {
  const { log } = newLog();
  expect(log.batches()).toEqual([]);
  await log.append('b1', 'Mara', [started, { kind: 'finished' }]);
  await log.append('b2', 'Jo', [started]);
  await log.append('b3', 'Jo', [started, { kind: 'abandoned', reason: 'power cut' }]);
  await log.append('b1', 'Jo', [{ kind: 'corrected', corrects: 1, note: 'n', reason: 'r' }]);
  const { formula } = samplePlan;
  expect(log.batches()).toMatchObject([
    { id: 'b1', formula, status: 'finished', operator: 'Mara', ended: log.facts('b1')[1]?.at },
    { id: 'b2', formula, status: 'open', operator: 'Jo', ended: null },
    { id: 'b3', formula, status: 'abandoned', operator: 'Jo' },
  ]);
  expect(log.seal('b1')).toEqual(log.seal());
  expect(log.seal('b2')?.seq).toBe(3);
  expect(log.seal('b9')).toBeNull();
});

test('batch ids count up within a day', async () => {
  const { log } = newLog();
  expect(log.newBatchId('2026-11-25')).toBe('2026-11-25-1');
  for (const id of ['2026-11-25-1', '2026-11-25-9', '2026-11-25-10', '2026-11-26-4', '2026-11-25-x']) {
    await log.append(id, 'Mara', [started]);
  }
  expect(log.newBatchId('2026-11-25')).toBe('2026-11-25-11');
  expect(log.newBatchId('2026-11-26')).toBe('2026-11-26-5');
  expect(log.newBatchId()).toMatch(/^2026-11-2[456]-\d+$/); // the day at the local clock
});

test('only its owner may read the file', () => {
  const { file, log } = newLog();
  log.facts();
  for (const each of [file, `${file}-wal`, `${file}-shm`]) expect(statSync(each).mode & 0o777, each).toBe(0o600);
});

test('readers see every fact while a writer has the file, and may not write', async () => {
  const { file, log } = newLog();
  await log.append('b', 'Mara', [started]);
  const reader = openLog(file, { readOnly: true });
  await log.append('b', 'Mara', [{ kind: 'gathered' }]);
  expect(reader.facts()).toHaveLength(2);
  const trouble = await troubleFrom(() => reader.append('b', 'Mara', [{ kind: 'resumed' }]));
  expect(trouble.trouble).toBe('read-only');
});

test('two writers at once still make one chain', async () => {
  const { file, log } = newLog();
  const other = openLog(file);
  await log.append('b', 'Mara', [started]);
  for (let round = 0; round < 5; round++) {
    await other.append('b', 'Jo', [{ kind: 'resumed' }]);
    await log.append('b', 'Mara', [{ kind: 'resumed' }]);
  }
  expect(log.facts().map(({ seq }) => seq)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
});

test('busy: said so, nothing stored, and it goes on afterwards', async () => {
  const file = join(tempFolder(), 'batches.db');
  const log = openLog(file, { busyMs: 0 });
  const other = raw(file);
  other.exec('BEGIN IMMEDIATE');
  const trouble = await troubleFrom(() => log.append('b', 'Mara', [started]));
  expect(trouble.trouble).toBe('busy');
  expect(trouble.message).toMatch(/^Not recorded: another program holds .*batches\.db.*safe.*try again/);
  other.exec('COMMIT');
  await log.append('b', 'Mara', [started]);
  expect(log.facts()).toHaveLength(1);
});

test('disk full: said so, nothing of the call stored, and it goes on afterwards', async () => {
  const file = join(tempFolder(), 'batches.db');
  const db = openLogFile(file);
  const log = new BatchLog(file, db, now);
  await log.append('b', 'Mara', [started]);
  const pages = Number(db.prepare('PRAGMA page_count').get()?.page_count);
  db.exec(`PRAGMA max_page_count = ${pages + 1}`); // SQLite then answers as it does on a full disk
  const many = Array.from({ length: 200 }, () => weighed('A1', g(55.4)));
  const trouble = await troubleFrom(() => log.append('b', 'Mara', many));
  expect(trouble.trouble).toBe('full');
  expect(trouble.message).toMatch(/^Not recorded: the disk .* is full\. All facts .* safe\. Make room and try again/);
  expect(log.facts()).toHaveLength(1);
  db.exec('PRAGMA max_page_count = 100000');
  await log.append('b', 'Mara', many);
  expect(log.facts()).toHaveLength(201);
});

test('a folder that is not there, a folder in its place, a log that is not begun', async () => {
  const folder = tempFolder();
  expect((await troubleFrom(() => openLog(join(folder, 'none', 'batches.db')))).trouble).toBe('missing');
  expect((await troubleFrom(() => openLog(folder))).trouble).toBe('failed');
  const file = join(folder, 'batches.db');
  const notYet = await troubleFrom(() => openLog(file, { readOnly: true }));
  expect(notYet).toMatchObject({ trouble: 'missing', message: expect.stringContaining('no batch was begun') });
  writeFileSync(file, '');
  expect((await troubleFrom(() => openLog(file, { readOnly: true }))).trouble).toBe('missing');
  openLog(file).close(); // an empty file is what a crash at the very first moment leaves
  expect(openLog(file, { readOnly: true }).facts()).toEqual([]);
});

test('a file of something else is left as it is', async () => {
  const folder = tempFolder();
  const text = join(folder, 'text.db');
  writeFileSync(text, 'shopping list: '.repeat(500));
  const other = join(folder, 'other.db');
  const db = new DatabaseSync(other);
  db.exec('CREATE TABLE recipes (x); INSERT INTO recipes VALUES (1)');
  db.close();
  for (const file of [text, other]) {
    const before = readFileSync(file);
    for (const readOnly of [true, false]) {
      expect((await troubleFrom(() => openLog(file, { readOnly }))).trouble, file).toBe('foreign');
    }
    expect(readFileSync(file).equals(before)).toBe(true);
  }
});

test('a log of a newer bismar is refused and left as it is', async () => {
  const { file, log } = newLog();
  await log.append('b', 'Mara', [started]);
  log.close();
  const db = raw(file);
  db.exec('PRAGMA user_version = 2');
  db.close();
  for (const readOnly of [true, false]) {
    const trouble = await troubleFrom(() => openLog(file, { readOnly }));
    expect(trouble).toMatchObject({ trouble: 'newer', message: expect.stringContaining('written by a newer bismar') });
  }
});

test('a changed fact is told when it is read, with its place', async () => {
  const { file, log } = newLog();
  await log.append('b', 'Mara', [started, weighed('A1', g(55.4)), { kind: 'resumed' }]);
  const db = raw(file);
  db.exec('DROP TRIGGER facts_stay');
  db.exec(`UPDATE facts SET body = replace(body, '55400000', '55500000') WHERE seq = 2`);
  const trouble = await troubleFrom(() => log.facts('b'));
  expect(trouble.trouble).toBe('damaged');
  expect(trouble.message).toMatch(/^Fact 2 .* is damaged: the hash does not match.*bismar verify/);
  db.exec(`UPDATE facts SET body = 'x' WHERE seq = 1`);
  expect((await troubleFrom(() => log.batches())).trouble).toBe('damaged');
});

test('a file that broke in the middle is told as damaged', async () => {
  const { file, log } = newLog();
  for (let round = 0; round < 20; round++) {
    await log.append(`b${round}`, 'Mara', [started]);
  }
  log.close();
  const bytes = readFileSync(file);
  bytes.fill(0xff, 4096 * 2);
  writeFileSync(file, bytes);
  expect((await troubleFrom(() => openLog(file).facts())).trouble).toBe('damaged');
});

test('a closed log says so instead of losing a fact', async () => {
  const { log } = newLog();
  log.close();
  log.close();
  await expect(log.append('b', 'Mara', [started])).rejects.toThrow(/^Not recorded: /);
});

// The super-user may write everywhere, so there the sentence is judged from a process with fewer rights (accessRights.test.ts).
test.skipIf(process.getuid?.() === 0)('a read-only file is told', async () => {
  const { file, log } = newLog();
  log.close();
  chmodSync(file, 0o400);
  expect((await troubleFrom(() => openLog(file).append('b', 'Mara', [started]))).trouble).toBe('read-only');
});
