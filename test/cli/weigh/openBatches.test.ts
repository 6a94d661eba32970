/** Batches that were left open are told when another is begun. */
import { expect, test } from 'vitest';
import { openBatchLines, openBatchNotes } from '../../../src/cli/weigh/openBatches.ts';
import type { Fact } from '../../../src/facts/fact.ts';
import type { BatchEntry } from '../../../src/records/batchLog.ts';

const entry = (id: string, status: BatchEntry['status'] = 'open', name = 'Oat bar'): BatchEntry => ({
  id,
  formula: { id: 'oat', name, version: '1' },
  started: '2026-11-25T10:00:23.000+01:00',
  ended: status === 'open' ? null : '2026-11-25T11:00:00.000+01:00',
  status,
  operator: 'Mara',
});

test('each with the command that goes on with it, and how to give one up', () => {
  const [line, how, ...more] = openBatchLines([entry('2026-11-25-2')], 'soapbox', () => []);
  expect(line).toMatch(
    /^Open: batch 2026-11-25-2 of Oat bar, begun 2026-11-25 10:00\. Go on with: (npx )?bismar resume 2026-11-25-2 --in soapbox$/,
  );
  expect(how).toMatch(/^To give one up: .*x \(stop\), e \(end it for good\), Enter/);
  expect(more).toEqual([]);
});

test('a part of another bench’s batch is told from a batch of its own', () => {
  const joined = { kind: 'joined', role: 'wet_room', of: '2026-11-25-3' } as Fact;
  const lines = openBatchLines([entry('2026-11-25-2'), entry('2026-11-25-3')], '.', (id) =>
    id === '2026-11-25-3' ? [joined] : [],
  );
  expect(lines[0]).not.toContain('part of');
  expect(lines[1]).toContain("of Oat bar, part of wet_room's batch 2026-11-25-3, begun 2026-11-25 10:00.");
});

test('nothing is said when nothing is open', () => {
  expect([openBatchLines([], '.', () => []), openBatchNotes([])]).toEqual([[], []]);
});

test('on the screen in one line of a small terminal, however many there are', () => {
  const many = Array.from({ length: 40 }, (_, index) => entry(`2026-11-25-${index + 1}`));
  const [note = '', ...more] = openBatchNotes(many);
  expect(more).toEqual([]);
  expect(note).toContain('2026-11-25-39, 2026-11-25-40 and 38 more');
  expect(note.length).toBeLessThanOrEqual(78);
});

test('hostile names do not paint', () => {
  expect(openBatchLines([entry('1', 'open', '\x1b[31mred')], '.', () => []).join('')).not.toMatch(/\x1b/);
});
