import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { CheckWeight } from '../../src/accept/checkWeights.ts';
import { type CheckRow, deviationOf, isWithin, judgeCheck, spreadOf } from '../../src/accept/scaleCheck.ts';
import { mass, ZERO } from '../../src/mass/mass.ts';
import { g } from '../records/sampleFacts.ts';

const D = g(0.1);
const kilo: CheckWeight = { nominal: g(1000), weightClass: 'M1' };

function row(kind: CheckRow['kind'], shown: number, nominal = kind === 'zero' ? 0 : 1000): CheckRow {
  return { kind, nominal: g(nominal), shown: g(shown), permissible: g(0.2) };
}

const good = [
  row('zero', 0),
  row('weight', 1000.1),
  row('zero', 0.1),
  ...[1000, 1000.1, 1000, 999.9, 1000].map((shown) => row('repeat', shown)),
];

describe('the judgement on a checked scale', () => {
  it('is passed when all is within its limits, and the limit itself is', () => {
    expect(judgeCheck(good, [kilo], D).passed).toBe(true);
    expect(judgeCheck([row('zero', 0), row('weight', 1000.2)], [kilo], D).passed).toBe(true);
  });

  it.each([
    ['a weight beyond its limit', [row('weight', 1000.3)]],
    ['a weight below its limit', [row('weight', 999.7)]],
    ['a zero that does not come back', [row('zero', 0.3)]],
    ['a corner', [row('corner', 999.7)]],
    ['a series that spreads too far, each weighing of it within', [row('repeat', 1000.2), row('repeat', 999.8)]],
  ])('is failed by %s', (_, more) => {
    expect(judgeCheck([...good, ...more], [kilo], D).passed).toBe(false);
  });

  it('is failed when no weight was on the pan', () => {
    expect(judgeCheck([row('zero', 0)], [kilo], D)).toEqual({ repeatability: null, slopePpm: null, passed: false });
  });

  it('a series is judged by its spread and not by its distance from the nominal (OIML R 76-1, from memory)', () => {
    const off = [1003, 1003.1, 1003.2].map((shown) => row('repeat', shown));
    expect(off.every(isWithin)).toBe(true);
    expect(spreadOf(off)).toBe(g(0.2));
    expect(judgeCheck([row('weight', 1000), ...off], [kilo], D).passed).toBe(true);
  });
});

describe('what a check leaves possible', () => {
  it('is what was found, the tolerance of the weight and half an interval: 1000 g of M1 shown as 1000.1 g', () => {
    // 0.1 g + 0.05 g (OIML R 111-1, Table 1) + 0.05 g of 1000 g are 200 ppm.
    expect(judgeCheck([row('weight', 1000.1)], [kilo], D).slopePpm).toBe(200);
    expect(judgeCheck([row('weight', 1000)], [kilo], D).slopePpm).toBe(100);
  });

  it('is the largest over all weights and corners', () => {
    const light: CheckWeight = { nominal: g(500), weightClass: 'M1' };
    // 0.025 g + 0.05 g of 500 g are 150 ppm.
    expect(judgeCheck([row('weight', 1000), row('weight', 500, 500)], [kilo, light], D).slopePpm).toBe(150);
    expect(judgeCheck([row('weight', 1000), row('corner', 999.8)], [kilo], D).slopePpm).toBe(300);
  });
});

describe('the same as a standard uncertainty', () => {
  const standard = (...rows: CheckRow[]) => judgeCheck(rows, [kilo], D).slopeStandardPpm;

  it('is what was found, the tolerance as a bound, and the rounding of both readings', () => {
    // mg: found 100; 50 / sqrt 3 = 28.868; 100 / sqrt 6 = 40.825; together 111.803 of 1 kg.
    expect(standard(row('weight', 1000.1))).toBe(112);
    expect(standard(row('weight', 1000))).toBe(50); // exactly 50.000: 2500 = 833.33 + 1666.67 mg^2
    expect(standard(row('zero', 0))).toBeUndefined();
  });

  it('takes the mean of all weighings of the weight, with the scatter of that mean', () => {
    // Mean 40 mg; s of 0, 100, 100, 0 mg is 57.735 mg, of the mean of five 25.820 mg.
    const rows = [row('weight', 1000), ...[1000, 1000.1, 1000.1, 1000].map((shown) => row('repeat', shown))];
    expect(standard(...rows)).toBe(Math.ceil(Math.hypot(40, 28.868, 40.825, 25.82)));
  });

  it('takes a corner by itself', () => {
    expect(standard(row('weight', 1000), row('corner', 999.8))).toBe(207); // 200, 28.868, 40.825
  });
});

describe('the standard deviation of a series (JCGM 100, 4.2.2)', () => {
  it('divides by one less than there are values', () => {
    // Of 1, 2, 3, 4, 5: sqrt(10 / 4) = 1.5811.
    expect(deviationOf([1, 2, 3, 4, 5].map((ug) => mass(ug * 1000)))).toBe(1582);
    expect(deviationOf([g(1000), g(1000), g(1000)])).toBe(0);
  });

  it('is not known from fewer than two weighings', () => {
    expect(deviationOf([])).toBeNull();
    expect(deviationOf([g(1)])).toBeNull();
    expect(judgeCheck([row('weight', 1000), row('repeat', 1000)], [kilo], D).repeatability).toBeNull();
  });

  it('does not depend on where the values lie, and is at most the spread', () => {
    const values = fc.array(fc.integer({ min: -1_000_000, max: 1_000_000 }), { minLength: 2, maxLength: 12 });
    fc.assert(
      fc.property(values, fc.integer({ min: 0, max: 5_000_000_000 }), (each, offset) => {
        const here = deviationOf(each.map(mass)) ?? ZERO;
        const there = deviationOf(each.map((ug) => mass(ug + offset))) ?? ZERO;
        expect(Math.abs(here - there)).toBeLessThanOrEqual(1);
        expect(here).toBeLessThanOrEqual(Math.max(...each) - Math.min(...each) + 1);
      }),
    );
  });
});
