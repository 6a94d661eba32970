import { describe, expect, test } from 'vitest';
import type { Happened, ScaleStanding } from '../../../src/facts/fact.ts';
import { ZERO } from '../../../src/mass/mass.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { budgetSentences } from '../../../src/records/record/budgetSentences.ts';
import { recordCsv } from '../../../src/records/record/recordCsv.ts';
import { recordHtml } from '../../../src/records/record/recordHtml.tsx';
import { recordData } from '../../../src/records/record/recordJson.ts';
import { g, samplePlan, sealed, weighed } from '../sampleFacts.ts';

const NEVER: ScaleStanding = { checkedAt: null, passed: null, slopePpm: null, repeatability: null };
const GOOD: ScaleStanding = {
  checkedAt: '2026-11-25T07:55:00.000+01:00',
  passed: true,
  slopePpm: 200,
  repeatability: g(0.04),
};

function recordWith(bench: ScaleStanding, ...more: Happened[]) {
  const facts = sealed([
    { kind: 'batch-started', plan: samplePlan },
    { kind: 'scales-stand', scales: { bench, fine: NEVER } },
    weighed('A1', g(55.4), { budget: { rounding: g(0.04), repeatability: g(0.07), drift: ZERO, check: g(0.007) } }),
    ...more,
  ]);
  return batchRecord(facts, { seq: facts.length, hash: 'f'.repeat(64) });
}

describe('the scales of a record', () => {
  test('a check that was passed that day is told with what it leaves possible, and is no deviation', () => {
    const record = recordWith(GOOD);
    expect(record.deviations).toEqual([]);
    expect(recordData(record).scales[0]).toMatchObject({
      scale: 'bench',
      checks: [{ that_day: true, passed: true, slope_ppm: 200, repeatability_g: '0.040' }],
    });
    expect(recordHtml(record)).toContain(
      'checked 2026-11-25 07:55:00 (+01:00): passed; errors of up to 200 ppm are possible, repeatability taken as 0.04 g.',
    );
    expect(recordCsv(record)).toContain('passed; errors of up to 200 ppm');
  });

  test.each([
    ['never checked', NEVER, 'The bench scale: not checked.'],
    [
      'checked the day before',
      { ...GOOD, checkedAt: '2026-11-24T07:55:00.000+01:00' },
      'The bench scale: not checked that day; last checked 2026-11-24',
    ],
    ['checked and failed', { ...GOOD, passed: false }, 'The bench scale: checked 2026-11-25 07:55:00 (+01:00): FAILED'],
  ])('a scale that was %s is a deviation', (_, standing, say) => {
    const record = recordWith(standing);
    expect(record.deviations).toEqual([expect.stringContaining(say)]);
    expect(recordHtml(record)).toContain(say.slice(0, 40));
  });

  test('a scale that nothing was weighed on is not complained about', () => {
    expect(recordWith(GOOD).deviations.join()).not.toContain('fine');
  });

  test('a check made before the batch was taken up again is told too, the same one only once', () => {
    const stand = (bench: ScaleStanding): Happened => ({ kind: 'scales-stand', scales: { bench, fine: NEVER } });
    const record = recordWith(NEVER, stand(NEVER), stand(GOOD));
    expect(record.scales.find(({ id }) => id === 'bench')?.checks.map(({ passed }) => passed)).toEqual([null, true]);
  });

  test('a record of facts that know no checks says that nothing was checked', () => {
    const facts = sealed([{ kind: 'batch-started', plan: samplePlan }, weighed('A1', g(55.4))]);
    const record = batchRecord(facts, { seq: 2, hash: 'f'.repeat(64) });
    expect(recordHtml(record)).toContain('interval 0.1 g, repeatability 0.05 g; not checked.');
  });
});

describe('the uncertainty of the weighings', () => {
  test('each term is named, also in JSON', () => {
    const record = recordWith(GOOD);
    expect(budgetSentences(record)).toEqual([
      'bench, A1: rounding 0.040, repeatability 0.070, zero drift 0, scale check 0.007.',
    ]);
    expect(recordData(record).draws[0]?.budget_g).toEqual({
      rounding: '0.040',
      repeatability: '0.070',
      drift: '0.000',
      check: '0.007',
    });
  });

  test('draws that are alike share a sentence; without a check the term is said to be not done', () => {
    expect(budgetSentences(recordWith(NEVER, weighed('A2', g(74.5))))).toHaveLength(2);
    const alike = { budget: { rounding: g(0.04), repeatability: g(0.07), drift: ZERO, check: g(0.007) } };
    expect(budgetSentences(recordWith(NEVER, weighed('A2', g(74.5), alike)))).toEqual([
      'bench, A1 A2: rounding 0.040, repeatability 0.070, zero drift 0, scale check not done.',
    ]);
  });

  test('the factor is said where a short series made it more than 2, and is 2 in an older log', () => {
    const record = recordWith(NEVER, weighed('A2', g(74.5), { coverage: 2.87 }));
    expect(budgetSentences(record)[1]).toMatch(/^bench, A2: .*scale check not done, k = 2\.87\.$/);
    expect(recordData(record).draws.map((draw) => draw.coverage_factor)).toEqual([2, 2.87]);
    expect(recordCsv(record).split('\r\n')[2]).toMatch(/,2\.87,0\.000,$/);
  });

  test('a weighing that was less sure than planned says so, where that matters against its band', () => {
    const record = recordWith(GOOD, weighed('A2', g(74.5), { uncertainty: g(0.6) }));
    expect(recordData(record).draws[1]?.notes.join()).toContain('less sure than planned: ±0.60 g instead of ±0.16 g');
    const small = recordWith(GOOD, weighed('A2', g(74.5), { uncertainty: g(0.2) }));
    expect(recordData(small).draws[1]?.notes).toEqual([]);
  });
});
