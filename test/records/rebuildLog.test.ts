/** A log with broken pages is made anew from its facts where they are whole, and only there. */
import { execFileSync, spawn } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { STOCK } from '../../src/facts/fact.ts';
import { backUp } from '../../src/records/backup.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { openLogFile } from '../../src/records/logFile.ts';
import { LogTrouble } from '../../src/records/logTrouble.ts';
import { type RebuildMoment, rebuildLog } from '../../src/records/rebuildLog.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { g } from '../weighing/samplePlan.ts';
import { sampleHappened } from './sampleFacts.ts';
import { IN_MEMORY, tempFolder } from './tempFolder.ts';

const PAGE = 4096;
const RUNS = Number(process.env.REBUILD_RUNS ?? 100);
const TABLES = ['stock_moves', 'stock_lots', 'stock_upto', 'trace_batches', 'trace_uses', 'trace_lots', 'trace_upto'];
/** Every page of the sample log by the table or index it belongs to. */
let pages: { readonly name: string; readonly page: number }[];
let whole: Buffer;
let rows: unknown;

/** All rows of all tables, facts too. */
function rowsOf(file: string): unknown {
  const db = new DatabaseSync(file, { readOnly: true });
  const all = ['facts', ...TABLES].map((name) => db.prepare(`SELECT * FROM ${name} ORDER BY 1, 2`).all());
  db.close();
  return all;
}

beforeAll(async () => {
  const file = join(tempFolder(IN_MEMORY), 'batches.db');
  const log = openLog(file);
  for (let lot = 1; lot <= 60; lot++) {
    await log.append(STOCK, 'Mara', [
      {
        kind: 'lot-received',
        ingredient: 'oat flour',
        lot: `OF-${lot}`,
        amount: g(1000),
        pricePerKg: '2.50',
        expires: null,
        supplierLot: `S-${lot}`,
        certificate: null,
        jar: null,
      },
    ]);
  }
  for (const batch of ['2026-11-25-1', '2026-11-25-2']) await log.append(batch, 'Mara', sampleHappened());
  log.close();
  whole = readFileSync(file);
  rows = rowsOf(file);
  const db = new DatabaseSync(file);
  pages = db
    .prepare('SELECT name, pageno FROM dbstat')
    .all()
    .map(({ name, pageno }) => ({ name: String(name), page: Number(pageno) }));
  db.close();
});

/** A workshop whose log has broken pages. */
function broken(
  hit: readonly number[],
  fill: (page: number, bytes: Uint8Array) => void = (_, bytes) => bytes.fill(0xa5),
) {
  const folder = tempFolder(IN_MEMORY);
  const file = join(folder, 'batches.db');
  const bytes = Uint8Array.from(whole);
  for (const page of hit) fill(page, bytes.subarray((page - 1) * PAGE, page * PAGE));
  writeFileSync(file, bytes, { mode: 0o600 });
  return { folder, file, bytes };
}

const pagesOf = (name: string) => pages.filter((each) => each.name === name).map(({ page }) => page);

function sentence(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof LogTrouble) return error.message;
    throw error;
  }
  return '';
}

test('a broken page of any table or index beside the facts: made anew, the same in every row, the broken file kept', () => {
  const beside = pages.filter(({ name }) => name !== 'facts' && name !== 'sqlite_schema');
  expect(new Set(beside.map(({ name }) => name)).size).toBeGreaterThan(14);
  for (const { name, page } of beside) {
    const { folder, file, bytes } = broken([page], (of, each) => each.fill(of % 2 === 0 ? 0x00 : 0xa5));
    expect(verifyLog(file), name).toMatchObject({ ok: false, factsWhole: true });
    const rebuilt = rebuildLog(folder, { now: new Date(2026, 10, 30) });
    expect(rebuilt, name).toMatchObject({ done: true, kept: 'batches.broken-2026-11-30.db' });
    expect(rowsOf(file), name).toEqual(rows);
    expect(verifyLog(file), name).toMatchObject({ ok: true, notes: [] });
    // But for the header, which says how it is journalled, the kept file is as it was.
    const kept = readFileSync(join(folder, 'batches.broken-2026-11-30.db'));
    expect(kept.subarray(PAGE).equals(bytes.subarray(PAGE)), name).toBe(true);
  }
});

test('any pages broken in any way: made anew with every fact, or refused with the old log in place', () => {
  let [made, refused] = [0, 0];
  const bytesHit = fc.array(fc.tuple(fc.nat(PAGE - 1), fc.integer({ min: 1, max: 255 })), {
    minLength: 1,
    maxLength: 30,
  });
  const hits = fc.array(fc.tuple(fc.integer({ min: 1, max: whole.length / PAGE }), bytesHit), {
    minLength: 1,
    maxLength: 3,
  });
  fc.assert(
    fc.property(hits, (all) => {
      const { folder, file } = broken([]);
      const bytes = Uint8Array.from(whole);
      for (const [page, hit] of all) {
        for (const [at, flip] of hit) bytes[(page - 1) * PAGE + at] = (bytes[(page - 1) * PAGE + at] ?? 0) ^ flip;
      }
      writeFileSync(file, bytes);
      let done = false;
      try {
        done = rebuildLog(folder).done;
      } catch (error) {
        if (!(error instanceof LogTrouble)) throw error;
      }
      if (done) {
        made += 1;
        expect(rowsOf(file)).toEqual(rows);
      } else {
        refused += 1;
        expect(readFileSync(file).subarray(PAGE).equals(bytes.subarray(PAGE))).toBe(true);
      }
      // Whoever only reads may leave an empty journal beside the old log.
      const beside = done ? /half|wal|shm|journal/ : /half|journal/;
      expect(readdirSync(folder).filter((name) => beside.test(name))).toEqual([]);
    }),
    { numRuns: RUNS },
  );
  expect(made).toBeGreaterThan(10);
  expect(refused).toBeGreaterThan(10);
});

test('a broken page of the facts is never mended, and it is told how far they are whole', () => {
  for (const page of pagesOf('facts').slice(1)) {
    const { folder, file, bytes } = broken([page]);
    const rebuilt = rebuildLog(folder);
    expect(rebuilt).toMatchObject({ done: false, found: { ok: false, factsWhole: false } });
    expect(readFileSync(file).equals(bytes)).toBe(true);
    expect(readdirSync(folder).filter((name) => /broken|half/.test(name))).toEqual([]);
  }
});

test('facts that are missing at the very end, in a page that can be read, are not given up', () => {
  // The last leaf of the facts says that it has one cell less: what is left still follows, fact by fact.
  const db = new DatabaseSync(broken([]).file);
  const last = db
    .prepare(`SELECT pageno FROM dbstat WHERE name = 'facts' AND pagetype = 'leaf' ORDER BY path DESC LIMIT 1`)
    .get();
  db.close();
  const shorten = (_: number, bytes: Uint8Array) => {
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    view.setUint16(3, view.getUint16(3) - 1);
  };
  const { folder, file, bytes } = broken([Number(last?.pageno)], shorten);
  expect(verifyLog(file)).toMatchObject({ ok: false, factsWhole: true });
  expect(sentence(() => rebuildLog(folder))).toMatch(
    /^Not mended: .* facts after number \d+ were in it once.*restore FILE DIR/,
  );
  expect(readFileSync(file).subarray(PAGE).equals(bytes.subarray(PAGE))).toBe(true);
  const backup = join(tempFolder(IN_MEMORY), 'kept.bismar');
  expect(sentence(() => backUp(folder, backup))).toMatch(
    /facts after number \d+ .* can't be read any more.* nothing was written/,
  );
  expect(existsSync(backup)).toBe(false);
});

test('a whole log stays as it is', () => {
  const { folder, file, bytes } = broken([]);
  expect(rebuildLog(folder)).toMatchObject({ done: false, found: { ok: true } });
  expect(readFileSync(file).equals(bytes)).toBe(true);
});

test('what stands in the journal only is in the new log, and the journal plays nothing into it', async () => {
  const { file } = broken(pagesOf('stock_lots'));
  const log = openLogFile(file); // without the tables, which can't be read
  const writing = broken([]);
  const donor = openLog(writing.file);
  const [fact] = await donor.append('2026-11-25-2', 'Jo', [{ kind: 'resumed' }]);
  const row = donor.rows((fact?.seq ?? 0) - 1, 1)[0];
  donor.close();
  if (!row) throw new Error('no row');
  log
    .prepare('INSERT INTO facts (seq, batch, kind, at, "by", body, hash) VALUES (?, ?, ?, ?, ?, ?, ?)')
    .run(row.seq, row.batch, row.kind, row.at, row.by, row.body, row.hash);
  // A killed program leaves its journal.
  const killed = tempFolder(IN_MEMORY);
  for (const part of ['', '-wal']) copyFileSync(file + part, join(killed, `batches.db${part}`));
  log.close();
  chmodSync(join(killed, 'batches.db'), 0o640);
  const rebuilt = rebuildLog(killed);
  expect(rebuilt).toMatchObject({ done: true, proof: { facts: row.seq, lastHash: row.hash } });
  expect(statSync(join(killed, 'batches.db')).mode & 0o777).toBe(0o640);
  expect(existsSync(join(killed, 'batches.db-wal'))).toBe(false);
  const again = openLog(join(killed, 'batches.db'));
  await again.append('2026-11-25-2', 'Jo', [{ kind: 'resumed' }]);
  again.close();
  expect(verifyLog(join(killed, 'batches.db'))).toMatchObject({ ok: true, facts: row.seq + 1 });
});

test('killed at any moment, the old log or the new one is in place, and it is mended the next time', () => {
  const { folder, file } = broken(pagesOf('trace_uses'));
  const moments: RebuildMoment[] = [];
  const left: string[] = [];
  rebuildLog(folder, {
    at: (moment) => {
      // What lies in the folder now is what a kill leaves. Another process copies: closing a file drops our own locks.
      moments.push(moment);
      const copy = join(tempFolder(IN_MEMORY), moment);
      execFileSync('cp', ['-a', folder, copy]);
      left.push(copy);
    },
  });
  expect(moments).toEqual(['alone', 'copied', 'made', 'proved', 'kept', 'in place']);
  for (const [at, copy] of left.entries()) {
    const isNew = moments[at] === 'in place';
    const log = join(copy, 'batches.db');
    expect(verifyLog(log), moments[at]).toMatchObject({ ok: isNew, factsWhole: true });
    expect(rebuildLog(copy).done, moments[at]).toBe(!isNew);
    expect(rowsOf(log), moments[at]).toEqual(rows);
    expect(readdirSync(copy).filter((name) => /half|wal|journal/.test(name))).toEqual([]);
  }
  expect(rowsOf(file)).toEqual(rows);
});

test('never while another process has the log: one that weighs, or one that only reads', async () => {
  const { folder, file, bytes } = broken(pagesOf('stock_moves'));
  const program = fileURLToPath(new URL('childWriter.ts', import.meta.url));
  const child = spawn(process.execPath, [program, folder, 'hold'], { stdio: ['pipe', 'pipe', 'inherit'] });
  await new Promise((resolve) => child.stdout.once('data', resolve));
  expect(sentence(() => rebuildLog(folder))).toMatch(/already open in another bismar/);
  child.stdin.end();
  await new Promise((resolve) => child.once('exit', resolve));
  const reader = openLogFile(file, { readOnly: true });
  reader.exec('BEGIN');
  reader.prepare('SELECT count(*) FROM facts').get();
  expect(sentence(() => rebuildLog(folder))).toMatch(/another program holds .* Close it/);
  reader.close();
  expect(readFileSync(file).subarray(PAGE).equals(bytes.subarray(PAGE))).toBe(true);
  expect(rebuildLog(folder).done).toBe(true);
});

test('backup and weighing lead to it', () => {
  const { folder, file } = broken([...pagesOf('stock_lots'), ...pagesOf('stock_upto')]);
  mkdirSync(join(folder, 'formulas'));
  const backup = join(tempFolder(IN_MEMORY), 'kept.bismar');
  expect(sentence(() => backUp(folder, backup))).toMatch(
    /facts are whole: `bismar verify --rebuild` makes all else anew/,
  );
  expect(existsSync(backup)).toBe(false);
  const log = openLog(file);
  expect(sentence(() => log.stock((stock) => stock.all()))).toMatch(/is damaged\..*run `bismar verify`/);
  log.close();
  rebuildLog(folder);
  expect(backUp(folder, backup)).toMatchObject({ facts: expect.any(Number) });
});
