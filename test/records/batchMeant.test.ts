/** Batches looked up one by one are those of the list of all. */
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { expect, onTestFinished, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { batchMeant, resolveBatch } from '../../src/records/resolveBatch.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { samplePlan } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const ids = [
  '2026-11-25-1',
  '2026-11-25-10',
  '2026-11-25-2',
  '2026-11-26-1',
  'north/2026-11-25-1',
  'nörd',
  'a\u{10fffd}b',
];
const formulas = ['oat', 'clay'];

interface Made {
  readonly id: string;
  readonly formula: string;
  readonly ends: 'finished' | 'abandoned' | null;
  readonly hasBars: boolean;
}

const anyBatch: fc.Arbitrary<Made> = fc.record({
  id: fc.constantFrom(...ids),
  formula: fc.constantFrom(...formulas),
  ends: fc.constantFrom('finished' as const, 'abandoned' as const, null),
  hasBars: fc.boolean(),
});

async function logOf(batches: readonly Made[], isBehind: boolean): Promise<BatchLog> {
  const file = join(tempFolder(), 'batches.db');
  const log = openLog(file);
  for (const { id, formula, ends, hasBars } of batches) {
    const end: Happened[] =
      ends === null ? [] : [ends === 'finished' ? { kind: ends } : { kind: ends, reason: 'test' }];
    await log.append(id, 'Mara', [
      { kind: 'batch-started', plan: { ...samplePlan, formula: { ...samplePlan.formula, id: formula } } },
      ...end,
      ...(hasBars ? [barsBegin, aBar(1, 75)] : []),
    ]);
  }
  await log.catchUp();
  // A log that is only read, and whose tables are behind, has the same to tell.
  if (isBehind) {
    log.close();
    const db = new DatabaseSync(file);
    db.exec('DELETE FROM trace_upto');
    db.close();
  }
  const read = isBehind ? openLog(file, { readOnly: true }) : log;
  onTestFinished(() => read.close());
  return read;
}

test('which batch is meant, the newest, one, and those with bars: as among all', async () => {
  const log = fc.uniqueArray(anyBatch, { maxLength: 6, selector: ({ id }) => id });
  const wanted = fc.constantFrom(
    undefined,
    '',
    'x',
    '2026',
    '2026-11-25',
    'a',
    'n',
    ...ids,
    ...ids.map((id) => id.slice(0, -1)),
  );
  await fc.assert(
    fc.asyncProperty(log, wanted, fc.boolean(), fc.boolean(), async (batches, asked, open, isBehind) => {
      const found = await logOf(batches, isBehind);
      const all = found.batches();
      expect(batchMeant(found, asked, { open })).toEqual(resolveBatch(all, asked, { open }));
      expect(found.list.newest(2)).toEqual(all.slice(-2));
      expect(found.list.one(asked ?? '')).toEqual(all.find(({ id }) => id === asked));
      expect(found.list.ids().toSorted()).toEqual(all.map(({ id }) => id).toSorted());
      const barred = batches.filter(({ formula, hasBars }) => formula === 'oat' && hasBars).map(({ id }) => id);
      expect(found.list.withBars('oat', 2)).toEqual(barred.slice(-2).reverse());
    }),
    { numRuns: 60 },
  );
});

test('one is meant, and no other batch is looked at', async () => {
  const log = await logOf(
    ids.map((id) => ({ id, formula: 'oat', ends: 'finished', hasBars: false })),
    false,
  );
  log.list.all = () => {
    throw new Error('all batches were listed');
  };
  for (const asked of [undefined, '2026-11-26', '2026-11-25-1']) expect(batchMeant(log, asked).ok).toBe(true);
  expect(() => batchMeant(log, 'none such')).toThrow('all batches were listed');
});
