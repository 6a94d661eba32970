/** The demo without a terminal: it weighs by itself and ends with the record. */
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { run } from './run.ts';
import type { RecordedBatch } from './trueRecord.ts';

/** In under a minute: the test's own time limit. */
test('without a terminal the demo weighs the whole batch by itself and ends with the path of its record', {
  timeout: 60_000,
}, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-demo-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const { code, out, err } = await run(['demo', '--folder', folder]);
  expect({ code, err }).toEqual({ code: 0, err: '' });
  const page = /Record of batch \S+: (.*\.html)$/.exec(out.trimEnd())?.[1] ?? '';
  expect(existsSync(page)).toBe(true);
  expect(readFileSync(page, 'utf8')).toContain('Cornflower');
  const record = JSON.parse((await run(['record', '--json', '--in', folder])).out) as RecordedBatch;
  expect(record).toMatchObject({ status: 'finished' });
  expect(new Set(record.draws.map(({ ingredient }) => ingredient)).size).toBe(21);
  expect(new Set(record.over_pours.map(({ end }) => end))).toEqual(new Set(['taken back']));
});
