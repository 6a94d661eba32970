import { expect, test } from 'vitest';
import type { BatchEntry } from '../../src/records/batchLog.ts';
import { resolveBatch } from '../../src/records/resolveBatch.ts';

function entry(id: string, status: BatchEntry['status'] = 'finished'): BatchEntry {
  const formula = { id: 'oat', name: 'Oat bar', version: '1' };
  return { id, formula, status, started: '', ended: null, operator: 'Mara' };
}

const batches = [
  entry('2026-10-02-1'),
  entry('2026-11-25-1', 'open'),
  entry('2026-11-25-10', 'open'),
  entry('2026-11-26-1', 'abandoned'),
];

test.each([
  [undefined, '2026-11-26-1'],
  ['', '2026-11-26-1'],
  ['2026-11-25-1', '2026-11-25-1'], // whole, although another begins so
  ['2026-11-25-10', '2026-11-25-10'],
  ['2026-10', '2026-10-02-1'],
  ['2026-11-26', '2026-11-26-1'],
])('%s is found', (wanted, id) => {
  expect(resolveBatch(batches, wanted)).toMatchObject({ ok: true, batch: { id } });
});

test('resume looks among open batches', () => {
  const open = { open: true };
  expect(resolveBatch(batches, undefined, open)).toMatchObject({ batch: { id: '2026-11-25-10' } });
  expect(resolveBatch(batches, '2026-11-26-1', open)).toEqual({
    ok: false,
    say: 'Batch 2026-11-26-1 (Oat bar) is abandoned: nothing is left to weigh. Open is 2026-11-25-10 (Oat bar).',
  });
  expect(resolveBatch([entry('a')], undefined, open)).toMatchObject({
    say: 'No batch is open here; the newest, a (Oat bar), is finished.',
  });
});

test('what can be meant twice or not at all is told with what there is', () => {
  expect(resolveBatch(batches, '2026-11')).toEqual({
    ok: false,
    say: '3 batches begin with "2026-11": 2026-11-26-1 (Oat bar), 2026-11-25-10 (Oat bar), 2026-11-25-1 (Oat bar). Name one whole.',
  });
  expect(resolveBatch(batches, '2026-10-03-1')).toEqual({
    ok: false,
    say: 'There is no batch "2026-10-03-1". Nearest: 2026-10-02-1 (Oat bar), 2026-11-26-1 (Oat bar), 2026-11-25-10 (Oat bar).',
  });
  expect(resolveBatch([], undefined)).toMatchObject({ say: 'No batch was begun in this workshop yet.' });
  expect(resolveBatch([], 'x')).toMatchObject({ ok: false });
});

test('hostile ids are cleaned in sentences', () => {
  const { say } = resolveBatch(batches, '\u001b[31mx\u202e') as { say: string };
  expect(say).toContain('no batch "x"');
});
