/** What stuck to emptied vessels and the sums of the phases, in the record. */
import { expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { recordCsv } from '../../src/records/record/recordCsv.ts';
import { recordHtml } from '../../src/records/record/recordHtml.tsx';
import { recordData } from '../../src/records/record/recordJson.ts';
import { recordText } from '../../src/records/record/recordText.ts';
import { aDraw, aPlan, aStep, g, placing, sealed, weighing } from '../weighing/samplePlan.ts';

const flour = aDraw('B1', { vessel: 'beaker', on: 'beaker', name: 'Oat flour' });
const plan = aPlan([
  flour,
  aStep('B/sum', 'sum', { vessel: 'beaker' }),
  aStep('B2', 'combine', { vessel: 'beaker', into: 'bowl' }),
]);
const sum = {
  kind: 'sum-checked',
  step: 'B/sum',
  vessel: 'beaker',
  scale: 'bench',
  expected: g(250),
  found: g(247),
  allowed: g(0.5),
  suspects: [{ what: 'missing', draws: ['B1'] }],
  reason: 'the formula can bear it',
} as const;
const facts = sealed([
  { kind: 'batch-started', plan },
  placing(flour, g(150)),
  weighing(flour, g(150), g(100), { witness: 'Ann Other' }),
  sum,
  {
    kind: 'step-done',
    step: 'B2',
    bursts: 0,
    how: 'put-on',
    weighedBack: { vessel: 'beaker', scale: 'bench', load: g(151.2), residue: g(1.2), uncertainty: g(0.164) },
  },
  { kind: 'finished' },
] satisfies Happened[]);
const record = batchRecord(facts, { seq: facts.length, hash: 'ab'.repeat(32) });

test('taken, weighed, reached the vessel, and stuck there are kept apart', () => {
  expect(record.draws[0]).toMatchObject({ taken: g(100), net: g(100), bowl: g(100), stuck: g(1.2) });
  expect(record.totals).toMatchObject({ bowl: g(100), stuck: g(1.2) });
});

test('JSON gives them as decimal grams, like all masses', () => {
  const data = recordData(record);
  expect(data.draws[0]).toMatchObject({ bowl_g: '100.000', stuck_g: '1.200', witness: 'Ann Other' });
  expect(data.totals).toMatchObject({ stuck_g: '1.200' });
  expect(data.steps.at(-1)).toMatchObject({
    weighed_back: { vessel: 'beaker', residue_g: '1.200', uncertainty_g: '0.164' },
  });
  expect(data.sums).toMatchObject([
    { vessel: 'beaker', expected_g: '250.000', found_g: '247.000', allowed_g: '0.500' },
  ]);
  expect(JSON.stringify(data)).not.toContain('1200000');
});

test('page, text and CSV say so', () => {
  const page = recordHtml(record);
  expect(page).toContain('1.2 g (±0.17 g) stuck to Beaker (beaker).');
  expect(page).toContain('1.20 g of it stuck to emptied vessels');
  expect(page).toContain('Sums');
  expect(page).toContain('seen by Ann Other');
  expect(recordText(record)).toContain('Of that 1.20 g stuck to vessels that were emptied');
  expect(recordCsv(record).split('\r\n')[1]).toMatch(/1\.20 g of it stuck to vessels on the way.*,1\.200,$/);
  expect(record.deviations.join()).toContain('Oat flour (B1) was missing; kept by Someone: the formula can bear it');
});
