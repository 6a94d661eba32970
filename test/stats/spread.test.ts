import fc from 'fast-check';
import jstat from 'jstat';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { meanOf, spreadOf } from '../../src/stats/spread.ts';
import { LEW, MICHELSO, NUM_ACC_1, NUM_ACC_2, NUM_ACC_3, NUM_ACC_4 } from './strd.ts';

const asMasses = (values: readonly number[]) => values.map((each) => mass(Math.round(each * 1e6)));

describe('mean and standard deviation', () => {
  // NIST StRD, univariate summary statistics: certified to 15 digits.
  it.each<[string, readonly number[], number, number, number]>([
    ['NumAcc1', NUM_ACC_1, 3, 10_000_002, 1],
    ['NumAcc2', NUM_ACC_2, 1001, 1.2, 0.1],
    ['NumAcc3', NUM_ACC_3, 1001, 1_000_000.2, 0.1],
    ['NumAcc4', NUM_ACC_4, 1001, 10_000_000.2, 0.1],
    ['Michelso', MICHELSO, 100, 299.8524, 0.0790105478190518],
    ['Lew', LEW, 200, -177.435, 277.332168044316],
  ])('NIST StRD %s, to the last certified digit', (_name, data, n, mean, s) => {
    const spread = spreadOf(asMasses(data));
    expect(spread?.n).toBe(n);
    expect(((spread?.mean ?? 0) / 1e6).toPrecision(15)).toBe(mean.toPrecision(15));
    expect(((spread?.s ?? 0) / 1e6).toPrecision(15)).toBe(s.toPrecision(15));
    expect(meanOf(asMasses(data))).toBe(spread?.mean);
  });

  it('agrees with a reference library over any weights of bars', () => {
    const bars = fc.array(fc.integer({ min: 60_000_000, max: 90_000_000 }).map(mass), { minLength: 2, maxLength: 60 });
    fc.assert(
      fc.property(bars, (masses) => {
        const spread = spreadOf(masses);
        expect(spread?.mean).toBeCloseTo(jstat.mean([...masses]), 5);
        const s = jstat.stdev([...masses], true);
        expect(Math.abs((spread?.s ?? 0) - s)).toBeLessThanOrEqual(1e-9 * s + 1e-3);
      }),
    );
  });

  it('one value has a mean and no spread; none has neither', () => {
    expect(spreadOf(asMasses([75]))).toBeUndefined();
    expect(meanOf(asMasses([75]))).toBe(75e6);
    expect(meanOf([])).toBeUndefined();
    expect(spreadOf(asMasses([75, 75, 75]))).toEqual({ n: 3, mean: 75e6, s: 0 });
    expect(spreadOf(asMasses([-1, 1]))?.mean).toBe(0);
  });
});
