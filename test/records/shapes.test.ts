/**
 * A log that an older bismar wrote opens in this one, and tells the same: one file for each shape that facts or tables
 * have had, with its record as it was then. A newer record may say more, never something else.
 */
import { copyFileSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openLog } from '../../src/records/batchLog.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { recordCsv } from '../../src/records/record/recordCsv.ts';
import { recordHtml } from '../../src/records/record/recordHtml.tsx';
import { recordJson } from '../../src/records/record/recordJson.ts';
import { recordText } from '../../src/records/record/recordText.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { tempFolder } from './tempFolder.ts';

const HERE = new URL('./shapes/', import.meta.url).pathname;
const shapes = readdirSync(HERE).flatMap((name) => /^(.+)\.db$/.exec(name)?.[1] ?? []);

test.each(shapes)('shape %s', async (shape) => {
  const file = join(tempFolder(), 'batches.db');
  copyFileSync(join(HERE, `${shape}.db`), file);
  const before = verifyLog(file);
  expect(before).toMatchObject({ ok: true, damages: [] });
  const log = openLog(file);
  const [batch] = log.batches();
  const id = batch?.id ?? '';
  const record = batchRecord(log.facts(id), log.seal(id));
  const then: unknown = JSON.parse(readFileSync(join(HERE, `${shape}.record.json`), 'utf8'), moreNotesMayCome);
  expect(JSON.parse(recordJson(record))).toMatchObject(then as object);
  for (const page of [recordText(record, 80), recordCsv(record), recordHtml(record)]) expect(page).toContain(id);
  expect(log.stock((stock) => stock.all().length)).toBeGreaterThan(0);
  // It is weighed on in, and stays whole.
  await log.append('2030-01-01-1', 'Mara', [{ kind: 'batch-started', plan: record.plan }]);
  log.close();
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: before.facts + 1 });
});

function moreNotesMayCome(key: string, value: unknown): unknown {
  return key === 'notes' && Array.isArray(value) ? expect.arrayContaining(value) : value;
}
