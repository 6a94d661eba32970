import { describe, expect, it } from 'vitest';
import { maximumVariation, sampleTest, samplingPlan } from '../../src/contents/maximumVariation.ts';
import {
  DESTRUCTIVE,
  DOUBLE,
  judgeDefectives,
  meanFactor,
  meanPasses,
  mostDefective,
  planFor,
  SINGLE,
  wholeLotTest,
} from '../../src/contents/referenceTest.ts';
import { packersRules, tolerableError } from '../../src/contents/tolerance.ts';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import { readMassWithUnit } from '../../src/mass/text.ts';
import { MICROGRAMS_IN } from '../../src/mass/units.ts';
import { studentQuantile } from '../../src/stats/student.ts';

const g = (grams: number) => mass(Math.round(grams * 1e6));
const many = (count: number, grams: number) => Array.from({ length: count }, () => g(grams));

describe('tolerable negative error (Directive 76/211/EEC, Annex I, 2.4)', () => {
  // The table at its ends and between, percentages rounded up to 0.1 g.
  it.each([
    [5, 0.5],
    [25, 2.3],
    [50, 4.5],
    [60, 4.5],
    [70, 4.5],
    [85, 4.5],
    [100, 4.5],
    [101, 4.6],
    [113, 5.1],
    [120, 5.4],
    [150, 6.8],
    [200, 9],
    [250, 9],
    [300, 9],
    [400, 12],
    [500, 15],
    [750, 15],
    [1000, 15],
    [1001, 15.1],
    [10_000, 150],
  ])('%d g: %d g', (nominal, error) => {
    expect(tolerableError(g(nominal))).toBe(g(error));
  });

  it('the table joins at every boundary, and ends at 5 g and 10 kg', () => {
    for (const at of [50, 100, 200, 300, 500, 1000]) {
      const [before, there, after] = [at - 0.0001, at, at + 0.0001].map((each) => tolerableError(g(each)) ?? 0);
      expect(there).toBe(before);
      expect((after ?? 0) - (there ?? 0)).toBeLessThanOrEqual(g(0.1));
    }
    expect(tolerableError(g(4.999))).toBeUndefined();
    expect(tolerableError(g(10_000.1))).toBeUndefined();
  });
});

describe('the three rules of the packer (the same, Annex I, 1)', () => {
  it('a lot at its label passes; one short by a microgram in the mean does not', () => {
    const lot = [...many(10, 70.4), ...many(10, 69.6)];
    expect(packersRules(lot, g(70))).toMatchObject({ tolerable: g(4.5), holds: true });
    expect(packersRules([...lot.slice(1), mass(g(70.4) - 1)], g(70))).toMatchObject({ mean: { holds: false } });
  });

  it('1 in 40 may be short by more than the tolerable error, none by twice as much', () => {
    const lot = (short: number, grams: number) => [...many(40 - short, 71), ...many(short, grams)];
    expect(packersRules(lot(1, 65.4), g(70))).toMatchObject({ short: { found: 1, most: 1, holds: true }, holds: true });
    expect(packersRules(lot(2, 65.4), g(70))).toMatchObject({ short: { found: 2, holds: false }, holds: false });
    expect(packersRules(lot(1, 65.5), g(70))).toMatchObject({ short: { found: 0 } }); // not more than tolerable
    expect(packersRules(lot(1, 61), g(70))).toMatchObject({ twice: { found: 0, holds: true } });
    expect(packersRules(lot(1, 60.9), g(70))).toMatchObject({ twice: { found: 1, limit: g(61), holds: false } });
    expect(packersRules(many(24, 71).with(3, g(65.4)), g(70))).toMatchObject({ short: { most: 0, holds: false } });
  });

  it('says nothing where the table does not reach, or there is no lot', () => {
    expect(packersRules([g(3)], g(3))).toBeUndefined();
    expect(packersRules([], g(70))).toBeUndefined();
  });
});

describe('reference test of a lot', () => {
  // Directive, Annex II, 2.2.1: lot, then accept and reject of the first sample, of both together.
  it.each([
    [100, 30, 1, 3, 60, 4, 5],
    [500, 30, 1, 3, 60, 4, 5],
    [501, 50, 2, 5, 100, 6, 7],
    [3200, 50, 2, 5, 100, 6, 7],
    [3201, 80, 3, 7, 160, 8, 9],
    [10_000, 80, 3, 7, 160, 8, 9],
  ])('double plan, lot of %d', (lot, sample, accept, reject, both, acceptBoth, rejectBoth) => {
    const plan = planFor(lot, DOUBLE);
    expect(plan?.stages[0]).toEqual({ sample, accept, reject });
    expect(plan?.stages.reduce((sum, each) => sum + each.sample, 0)).toBe(both);
    expect(plan?.stages[1]).toMatchObject({ accept: acceptBoth, reject: rejectBoth });
    if (!plan) return;
    expect(judgeDefectives(plan, [accept])).toBe('accepted');
    expect(judgeDefectives(plan, [accept + 1])).toBe('next stage');
    expect(judgeDefectives(plan, [reject])).toBe('rejected');
    expect(judgeDefectives(plan, [accept + 1, acceptBoth - accept - 1])).toBe('accepted');
    expect(judgeDefectives(plan, [accept + 1, rejectBoth - accept - 1])).toBe('rejected');
  });

  // SI 2006/659, schedule 2, paragraph 3.
  it.each([
    [100, 50, 3, 4],
    [500, 50, 3, 4],
    [501, 80, 5, 6],
    [3200, 80, 5, 6],
    [3201, 125, 7, 8],
  ])('single plan, lot of %d', (lot, sample, accept, reject) => {
    const plan = planFor(lot, SINGLE);
    expect(plan?.stages).toEqual([{ sample, accept, reject }]);
    if (!plan) return;
    expect(judgeDefectives(plan, [accept])).toBe('accepted');
    expect(judgeDefectives(plan, [reject])).toBe('rejected');
  });

  it('destructive: 20, of which 1 may be defective and 2 not', () => {
    expect(judgeDefectives(DESTRUCTIVE, [1])).toBe('accepted');
    expect(judgeDefectives(DESTRUCTIVE, [2])).toBe('rejected');
    expect(DESTRUCTIVE.stages[0]?.sample).toBe(20);
  });

  // SI 2006/659, schedule 2, paragraph 4; the printed constants are t(0.995, n - 1) / sqrt(n).
  it.each([
    [100, false, 30, 0.503],
    [500, false, 30, 0.503],
    [501, false, 50, 0.379],
    [9000, false, 50, 0.379],
    [150, true, 20, 0.64],
  ])('mean of a sample, lot of %d, destructive %s: n %d, k %d', (lot, destructive, sample, k) => {
    expect(meanFactor(lot, destructive)).toEqual({ sample, k });
    expect(studentQuantile(0.995, sample - 1) / Math.sqrt(sample)).toBeCloseTo(k, 3);
    const label = g(60);
    expect(meanPasses(label - k * 1e6 + 1, 1e6, label, k)).toBe(true);
    expect(meanPasses(label - k * 1e6 - 1, 1e6, label, k)).toBe(false);
  });

  it('a lot below 100 is weighed as a whole: mean at the label, 5 % defective', () => {
    expect(planFor(99, DOUBLE)).toBeUndefined();
    expect(planFor(99, SINGLE)).toBeUndefined();
    expect(meanFactor(99)).toEqual({ sample: 99, k: 0 });
    expect([19, 20, 39, 40, 99].map(mostDefective)).toEqual([0, 1, 1, 2, 4]);
    const lot = (short: number) => [...many(24 - short, 71), ...many(short, 65.4)];
    expect(wholeLotTest(lot(1), g(70))).toMatchObject({ defective: 1, most: 1, passes: true });
    expect(wholeLotTest(lot(2), g(70))).toMatchObject({ defective: 2, passes: false });
    expect(wholeLotTest(many(24, 69.9), g(70))).toMatchObject({ defective: 0, passes: false });
    expect(wholeLotTest(many(100, 71), g(70))).toBeUndefined();
  });
});

describe('NIST Handbook 133', () => {
  // Table 2-1, category A: from memory; beside it t(0.975, n - 1) / sqrt(n), which the printed factors are.
  it.each([
    [2, 2, 8.984],
    [3, 3, 2.484],
    [4, 4, 1.591],
    [5, 5, 1.241],
    [6, 6, 1.05],
    [7, 7, 0.925],
    [8, 8, 0.836],
    [9, 9, 0.769],
    [10, 10, 0.715],
    [11, 11, 0.672],
    [12, 12, 0.635],
    [250, 12, 0.635],
    [251, 24, 0.422],
    [3200, 24, 0.422],
    [3201, 48, 0.291],
  ])('lot of %d: sample of %d, factor %d', (lot, sample, factor) => {
    expect(samplingPlan(lot)).toMatchObject({ sample, factor, over: sample === 48 ? 1 : 0 });
    expect(Math.abs(studentQuantile(0.975, sample - 1) / Math.sqrt(sample) - factor)).toBeLessThan(0.001);
  });

  it('a single package is judged by the variation only', () => {
    expect(samplingPlan(1)).toEqual({ lot: 1, sample: 1, factor: null, over: 0 });
    expect(sampleTest([g(66)], 1, g(70), 'g')).toMatchObject({ average: true, single: true, passes: true });
    expect(sampleTest([g(64.5)], 1, g(70), 'g')).toMatchObject({ over: 1, passes: false });
    expect(() => samplingPlan(0)).toThrow(RangeError);
  });

  // Table 2-5: upper end in pounds, ounces and grams; allowed variation in pounds and grams.
  it.each([
    [0.12, 1.92, 54, 0.008, 3.6],
    [0.18, 2.88, 81, 0.012, 5.4],
    [0.26, 4.16, 117, 0.016, 7.2],
    [0.34, 5.44, 154, 0.02, 9],
    [0.46, 7.36, 208, 0.024, 10.8],
    [0.58, 9.28, 263, 0.028, 12.7],
    [0.7, 11.2, 317, 0.032, 14.5],
    [0.84, 13.44, 381, 0.036, 16.3],
    [0.94, 15.04, 426, 0.04, 18.1],
    [1.08, 17.28, 489, 0.044, 19.9],
    [1.26, 20.16, 571, 0.048, 21.7],
    [1.4, 22.4, 635, 0.052, 23.5],
    [1.54, 24.64, 698, 0.056, 25.4],
    [1.7, 27.2, 771, 0.06, 27.2],
    [1.88, 30.08, 852, 0.064, 29],
    [2.14, 34.24, 970, 0.07, 31.7],
    [2.48, 39.68, 1120, 0.078, 35.3],
  ])('up to %d lb, %d oz, %d g: %d lb, %d g', (lb, oz, grams, allowedLb, allowed) => {
    // As a label that says so is read.
    const ofOunces = (ounces: number) => readMassWithUnit(`${ounces} oz`) ?? ZERO;
    expect(lb * 16).toBeCloseTo(oz, 9);
    expect(maximumVariation(g(grams), 'g')).toBe(g(allowed));
    expect(maximumVariation(mass(g(grams) + 1), 'g')).not.toBe(g(allowed));
    const inOunces = maximumVariation(ofOunces(oz), 'oz');
    expect(inOunces).toBe(Math.floor(allowedLb * 453_592_370 + 1e-3));
    expect(maximumVariation(mass(ofOunces(oz) + 1), 'oz')).not.toBe(inOunces);
    // The printed grams are the pounds, cut to a tenth of a gram.
    expect(Math.floor((inOunces ?? 0) / 100_000 + 1e-9) / 10).toBe(allowed);
  });

  it('up to 36 g it is a tenth of the label, and above 1.12 kg our table ends', () => {
    expect(maximumVariation(g(36), 'g')).toBe(g(3.6));
    expect(maximumVariation(g(20), 'g')).toBe(g(2));
    expect(maximumVariation(g(1120.1), 'g')).toBeUndefined();
    expect(maximumVariation(g(0), 'g')).toBeUndefined();
  });

  // 2.2 of the handbook: a label of 113 g (4 oz, 0.25 lb) has 0.016 lb or 7.2 g.
  it('the row that the handbook itself names', () => {
    expect(maximumVariation(g(113), 'g')).toBe(g(7.2));
    const quarterPound = mass(Number(MICROGRAMS_IN.lb.numerator / 4n));
    expect(maximumVariation(quarterPound, 'oz')).toBe(mass(7_257_477)); // 0.016 lb
  });

  // Worked by hand after 2.3: n = 12, s = 0.60 g, limit 0.635 x 0.60 = 0.381 g.
  it.each([
    [-0.3, 0.081, true],
    [-0.4, -0.019, false],
  ])('a mean error of %d g with the error limit comes to %d g: passes %s', (meanError, sum, passes) => {
    // Twelve bars either side of the mean, so far that s is 0.60 g.
    const off = 0.6 * Math.sqrt(11 / 12);
    const nets: Mass[] = [...many(6, 70 + meanError - off), ...many(6, 70 + meanError + off)];
    const test = sampleTest(nets, 24, g(70), 'g');
    expect((test?.s ?? 0) / 1e6).toBeCloseTo(0.6, 5);
    expect(((test?.meanError ?? 0) + (test?.errorLimit ?? 0)) / 1e6).toBeCloseTo(sum, 4);
    expect(test).toMatchObject({ average: passes, passes, variation: g(5.4), over: 0 });
  });
});
