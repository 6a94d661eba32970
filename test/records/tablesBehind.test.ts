/** What can come between the tables beside the facts and the facts: a full disk, another program, a reader without them. */
import { copyFileSync, existsSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { setImmediate as turn } from 'node:timers/promises';
import { afterEach, expect, test, vi } from 'vitest';
import { BatchLog, openLog } from '../../src/records/batchLog.ts';
import { openForTables, openLogFile } from '../../src/records/logFile.ts';
import { Summaries } from '../../src/records/summaries.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { plan } from '../stock/histories.ts';
import { g, weighing } from '../weighing/samplePlan.ts';
import { tempFolder } from './tempFolder.ts';

let files = 0;
const folder = tempFolder();
const newFile = () => join(folder, `log-${++files}.db`);
const A = plan.tasks[0];
if (A?.kind !== 'draw') throw new Error('the plan begins with a draw');
afterEach(() => vi.restoreAllMocks());

const started = { kind: 'batch-started', plan } as const;
const usedOf = (log: BatchLog) => log.stock((stock) => stock.lot('flour', 'F-1')).holding.used;

/** A log whose tables are written on the connection that is given. */
function logWith(file: string, change: (writer: DatabaseSync) => void) {
  const db = openLogFile(file);
  const writer = openForTables(file);
  change(writer);
  const tables = new Summaries(db, writer);
  return { tables, writer, log: new BatchLog(file, db, () => new Date(), tables) };
}

test('a disk that was full while the tables were made: stock is right, and they are made when there is room', async () => {
  for (const room of [7, 16]) {
    const file = newFile();
    const { log, writer } = logWith(file, (own) => {
      const { page_count } = own.prepare('PRAGMA page_count').get() ?? {};
      own.exec(`PRAGMA max_page_count = ${Number(page_count) + room}`); // the tables take 15, empty
    });
    await log.append('b-1', 'Someone', [started, ...Array.from({ length: 100 }, () => weighing(A, g(300), g(1)))]);
    await turn();
    expect(usedOf(log), `${room} pages`).toBe(g(100));
    expect(log.openBatches()).toHaveLength(1);
    writer.exec('PRAGMA max_page_count = 100000');
    await log.append('b-1', 'Someone', [{ kind: 'finished' }]);
    expect(usedOf(log)).toBe(g(100));
    log.close();
    const bare = new DatabaseSync(file, { readOnly: true });
    const known = bare.prepare('SELECT s.seq AS stock, t.seq AS trace FROM stock_upto s, trace_upto t').get();
    expect({ ...known }).toEqual({ stock: 102, trace: 102 });
    bare.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  }
});

test('another program writes while the tables are made anew, or go on', async () => {
  for (const how of ['anew', 'on'] as const) {
    const file = newFile();
    const other = openLog(file);
    await other.append('b-1', 'Someone', [started, weighing(A, g(300), g(100))]);
    other.stock(() => {});
    let isBetween = false;
    const { log, tables } = logWith(file, (writer) => {
      writer.exec = (sql) => {
        if (/^BEGIN/.test(sql) && !isBetween) {
          isBetween = true;
          void other.append('b-2', 'Someone', [started, weighing(A, g(300), g(50))]);
          other.stock(() => {});
        }
        DatabaseSync.prototype.exec.call(writer, sql);
      };
    });
    const wiped = vi.spyOn(DatabaseSync.prototype, 'exec');
    if (how === 'anew') log.countStockAnew();
    else {
      await other.append('b-1', 'Someone', [{ kind: 'finished' }]);
      tables.step();
      expect(wiped.mock.calls.filter(([sql]) => /DELETE/.test(sql))).toEqual([]);
    }
    wiped.mockRestore();
    expect(isBetween).toBe(true);
    expect(usedOf(log)).toBe(g(150));
    log.close();
    other.close();
    expect(verifyLog(file)).toMatchObject({ ok: true });
  }
});

test('a log that is written to while it is proved is not taken for damaged', async () => {
  const file = newFile();
  const log = openLog(file);
  await log.append('b-1', 'Someone', [started, weighing(A, g(300), g(100))]);
  log.stock(() => {});
  const { prepare } = DatabaseSync.prototype;
  let isBetween = false;
  vi.spyOn(DatabaseSync.prototype, 'prepare').mockImplementation(function (this: DatabaseSync, sql, ...rest) {
    if (/FROM stock_upto/.test(sql) && !isBetween) {
      isBetween = true;
      void log.append('b-1', 'Someone', [weighing(A, g(300), g(50))]);
      log.stock(() => {});
    }
    return prepare.call(this, sql, ...rest);
  });
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: 2 });
  expect(isBetween).toBe(true);
  log.close();
});

test('a reader without tables counts all facts once, and anew when there are more', async () => {
  const file = newFile();
  const log = openLog(file);
  await log.append('b-1', 'Someone', [started, weighing(A, g(300), g(100))]);
  const reader = openLog(file, { readOnly: true });
  const prepared = vi.spyOn(DatabaseSync.prototype, 'prepare');
  const counts = () => prepared.mock.calls.filter(([sql]) => sql === 'SELECT body FROM facts ORDER BY seq').length;
  for (let time = 0; time < 5; time++) expect(usedOf(reader)).toBe(g(100));
  for (let time = 0; time < 5; time++) expect(reader.traced((trace) => trace.usesOfBatch('b-1'))).not.toEqual([]);
  expect(counts()).toBeLessThanOrEqual(2);
  await log.append('b-1', 'Someone', [weighing(A, g(300), g(50))]);
  expect(usedOf(reader)).toBe(g(150));
  reader.close();
  log.close();
});

test('a log that is moved away while it is open keeps its journal', async () => {
  const file = newFile();
  const before = openLog(file);
  await before.append('b-1', 'Someone', [started]);
  before.close();
  const log = openLog(file);
  await log.catchUp();
  renameSync(file, `${file}.old`);
  await log.append('b-1', 'Someone', [weighing(A, g(300), g(100))]);
  await turn();
  expect(existsSync(file)).toBe(false);
  // The program is killed, and the file put back.
  const back = newFile();
  copyFileSync(`${file}.old`, back);
  copyFileSync(`${file}-wal`, `${back}-wal`);
  expect(verifyLog(back)).toMatchObject({ ok: true, facts: 2 });
  log.close();
});
