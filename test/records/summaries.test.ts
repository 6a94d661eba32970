/** The tables beside the facts follow them: nobody waits for them, and wherever they stopped they go on to the same end. */
import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { setImmediate as turn } from 'node:timers/promises';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ZERO } from '../../src/mass/mass.ts';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { deeds, live, plan } from '../stock/histories.ts';
import { g, weighing } from '../weighing/samplePlan.ts';
import { tempFolder } from './tempFolder.ts';

let files = 0;
const folder = tempFolder();
const newFile = () => join(folder, `log-${++files}.db`);
const A = plan.tasks[0];
if (A?.kind !== 'draw') throw new Error('the plan begins with a draw');

function known(file: string): unknown[] {
  const bare = new DatabaseSync(file, { readOnly: true });
  const at = (table: string) => bare.prepare(`SELECT seq FROM ${table}`).get()?.seq;
  const found = [at('stock_upto'), at('trace_upto')];
  bare.close();
  return found;
}

function tables(file: string): unknown[] {
  const bare = new DatabaseSync(file, { readOnly: true });
  const names = ['stock_moves', 'stock_lots', 'stock_upto', 'trace_batches', 'trace_uses', 'trace_lots', 'trace_upto'];
  const rows = names.map((name) => bare.prepare(`SELECT * FROM ${name} ORDER BY 1, 2`).all());
  bare.close();
  return rows;
}

async function lived(log: BatchLog, all: Parameters<typeof live>[0]): Promise<void> {
  const write = async (batch: string, happened: Parameters<typeof log.append>[2]) =>
    (await log.append(batch, 'Someone', happened))[0]?.seq ?? 0;
  await live(all, { write, left: () => ZERO });
}

test('facts are on the disk before the tables know of them, and the tables follow by themselves', async () => {
  const file = newFile();
  const log = openLog(file);
  await log.append('b-1', 'Someone', [{ kind: 'batch-started', plan }]);
  await turn();
  expect(known(file)).toEqual([1, 1]);
  await log.append('b-1', 'Someone', [weighing(A, g(300), g(100))]);
  // What a killed program leaves: the facts, and tables that are behind.
  const left = newFile();
  for (const part of ['', '-wal']) copyFileSync(file + part, left + part);
  await turn();
  expect(known(file)).toEqual([2, 2]);
  log.close();
  expect(known(left)).toEqual([1, 1]);
  expect(verifyLog(left)).toMatchObject({ ok: true, facts: 2 });
  const reading = openLog(left, { readOnly: true });
  expect(reading.stock((stock) => stock.lot('flour', 'F-1')).holding.used).toBe(g(100));
  expect(reading.openBatches().map(({ id }) => id)).toEqual(['b-1']);
  reading.close();
  const again = openLog(left);
  expect(again.stock((stock) => stock.lot('flour', 'F-1')).holding.used).toBe(g(100));
  again.close();
  expect(known(left)).toEqual([2, 2]);
});

test('from wherever they stopped, in whatever steps, they come to what all facts come to', async () => {
  await fc.assert(
    fc.asyncProperty(deeds, fc.array(fc.boolean(), { maxLength: 20 }), async (all, cuts) => {
      const file = newFile();
      let log = openLog(file);
      let deed = 0;
      await lived(log, all);
      log.close();
      const whole = tables(file);
      // The same facts, where the tables were left behind at some of them.
      const bodies = openLog(file, { readOnly: true });
      const facts = bodies.facts();
      bodies.close();
      const other = newFile();
      log = openLog(other, { now: () => new Date('2026-11-25T10:00:00Z') });
      for (const { seq, batch, at, by, ...happened } of facts) {
        await log.append(batch, by, [happened]);
        if (!cuts[deed++ % cuts.length]) continue;
        const left = newFile();
        for (const part of ['', '-wal']) copyFileSync(other + part, left + part);
        const killed = openLog(left);
        await killed.catchUp();
        killed.close();
        expect(verifyLog(left)).toMatchObject({ ok: true, facts: seq });
        expect(known(left)).toEqual([seq, seq]);
        if (cuts[0]) await turn();
      }
      log.close();
      const times = (rows: unknown) => JSON.stringify(rows).replace(/\d{4}-\d\d-\d\dT[^"]*"/g, '"');
      expect(times(tables(other))).toBe(times(whole));
      expect(verifyLog(other)).toMatchObject({ ok: true });
    }),
    { numRuns: 12 },
  );
});

test('a log without any, or without an index, gets them in steps, and can be stopped in between', async () => {
  const file = newFile();
  const log = openLog(file);
  for (let number = 0; number < 200; number++) {
    const end = number % 3 === 0 ? [] : [{ kind: 'finished' } as const];
    await log.append(`b-${number}`, 'Someone', [
      { kind: 'batch-started', plan },
      weighing(A, g(300), g(100 + number)),
      ...end,
    ]);
  }
  const open = log.batches().filter(({ status }) => status === 'open');
  expect(log.openBatches()).toEqual(open);
  expect(log.list.lastFinished()).toEqual(log.batches().findLast(({ status }) => status === 'finished'));
  log.close();
  const whole = tables(file);
  const bare = new DatabaseSync(file);
  bare.exec('DROP TABLE stock_moves; DROP TABLE stock_lots; DROP TABLE stock_upto; DROP INDEX trace_open');
  bare.close();
  const first = openLog(file);
  const steps: number[] = [];
  const stop = new Error('stopped');
  await expect(
    first.catchUp((done) => {
      steps.push(done);
      throw stop;
    }),
  ).rejects.toBe(stop);
  first.close();
  const then = openLog(file);
  await then.catchUp((done) => steps.push(done));
  expect(steps.length).toBeGreaterThan(1);
  expect(steps[0]).toBeLessThan(steps.at(-1) ?? 0);
  expect([...steps].sort((a, b) => a - b)).toEqual(steps);
  expect(then.openBatches()).toEqual(open);
  then.close();
  expect(tables(file)).toEqual(whole);
  expect(verifyLog(file)).toMatchObject({ ok: true });
});
