import { describe, expect, test } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import { widthOf } from '../../../src/facts/textWidth.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { recordText } from '../../../src/records/record/recordText.ts';
import { toldAsTooMuch, tooMuchIn } from '../../../src/records/record/recordTooMuch.ts';
import { g, planned, sampleHappened, samplePlan, sealed, weighed } from '../sampleFacts.ts';

const seal = { seq: 78, hash: '3f'.repeat(32) };

function textOf(happened: readonly Happened[], width?: number): string[] {
  return recordText(batchRecord(sealed(happened), seal), width).split('\n');
}

test('one draw: what it was to be, what it is, how surely, of which lot', () => {
  const lines = textOf([{ kind: 'batch-started', plan: samplePlan }, weighed('A1', g(55.4))], 100);
  const row = lines.find((line) => line.startsWith('  A1 '));
  expect(row).toMatch(/^ {2}A1 {3}Glyceryl stearate, flakes +55\.4 ±0\.16 +of +55\.670 {2}GS-118 +10:00:01$/);
  expect(lines).toContain('Batch 2026-11-25-1, open, by Mara');
  expect(lines.at(-1)).toBe(`  78:${seal.hash}`);
});

test('every draw stands there once, with its notes; what was given up stands apart', () => {
  const record = batchRecord(sealed(sampleHappened()), seal);
  const lines = recordText(record).split('\n');
  const apart = lines.indexOf('Weighed, and not in the batch:');
  for (const [draws, from, to] of [
    [record.draws, 0, apart],
    [record.givenUp, apart, lines.length],
  ] as const) {
    expect(draws.length).toBeGreaterThan(0);
    for (const { draw } of draws) {
      expect(lines.slice(from, to).filter((line) => line.startsWith(`  ${draw} `))).toHaveLength(1);
    }
  }
  const told = toldAsTooMuch(record);
  const over = tooMuchIn(record).map(({ say }) => say);
  expect(told.size).toBe(1); // the lavender oil that was kept
  for (const said of [...over, ...record.deviations.filter((each) => !told.has(each))]) {
    expect(lines.join(' ').replace(/\s+/g, ' ')).toContain(said.replace(/\s+/g, ' '));
  }
});

test('nothing weighed yet, and nothing otherwise, is said', () => {
  const lines = textOf([{ kind: 'batch-started', plan: samplePlan }]);
  expect(lines).toContain('Nothing has been weighed yet.');
  expect(lines).toContain('  - Nothing.');
  // No heading stands over nothing.
  expect(lines).not.toContain('Measured:');
});

describe.each([80, 100, 140])('on %i columns', (width) => {
  test('no line is wider, and the hash is whole', () => {
    const lines = textOf(sampleHappened(), width);
    for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width);
    expect(lines.at(-1)).toContain(seal.hash);
  });

  test('hostile names neither paint nor break a line', () => {
    const name = `\x1b[31mred\n\u202e${'秤'.repeat(60)}`;
    const draw = { ...planned('A1'), name };
    const plan = { ...samplePlan, tasks: samplePlan.tasks.map((task) => (task.id === 'A1' ? draw : task)) };
    const lines = textOf([{ kind: 'batch-started', plan }, weighed('A1', g(55.4), {}, plan)], width);
    expect(lines.join('\n')).not.toMatch(/[\x1b\u202e]/);
    for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width);
    expect(lines.find((line) => line.startsWith('  A1 '))).toMatch(/55\.4 ±/);
  });
});
