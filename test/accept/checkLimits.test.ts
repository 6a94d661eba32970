import { describe, expect, it } from 'vitest';
import { type CheckedScale, checkLimits, chooseWeights, cornerWeight } from '../../src/accept/checkLimits.ts';
import type { CheckWeight, WeightClass } from '../../src/accept/checkWeights.ts';
import { g } from '../records/sampleFacts.ts';

const bench: CheckedScale = { capacity: g(5000), d: g(0.1) };
const fine: CheckedScale = { capacity: g(200), d: g(0.01) };

function weight(grams: number, weightClass: WeightClass = 'M1'): CheckWeight {
  return { nominal: g(grams), weightClass };
}

function limitsFor(scale: CheckedScale, tables: 'oiml' | 'handbook-44' = 'oiml') {
  const limits = checkLimits(scale, tables);
  if (!limits) throw new Error('no limits');
  return limits;
}

describe('what a scale is judged by', () => {
  it('is its own data where it has them, before any table', () => {
    const limits = limitsFor({ ...bench, accuracyClass: 'II', e: g(0.1), permissibleError: g(0.3) });
    expect([limits.at(g(0)), limits.at(g(5000))]).toEqual([g(0.3), g(0.3)]);
    expect(limits.basis).toBe('the permissible error stated for this scale, 0.3 g');
  });

  it('is the table for the class that is marked on it, in service', () => {
    const limits = limitsFor({ capacity: g(3000), d: g(1), accuracyClass: 'III' });
    // OIML R 76-1, Table 6, twice: 1 g to 500 g, 2 g to 2000 g, 3 g above.
    expect([g(500), g(501), g(2001)].map(limits.at)).toEqual([g(1), g(2), g(3)]);
    expect(limits.basis).toBe('the limits in service of OIML R 76-1 for class III, e = 1 g');
  });

  it('counts in e and not in d, where they differ', () => {
    const limits = limitsFor({ capacity: g(600), d: g(0.01), accuracyClass: 'II', e: g(0.1) });
    expect(limits.at(g(500))).toBe(g(0.1));
  });

  it('says so when the class is only inferred', () => {
    expect(limitsFor(fine).basis).toBe(
      'the limits in service of OIML R 76-1 for class II, e = 0.01 g, class inferred from its capacity and interval',
    );
  });

  it('is NIST Handbook 44 where that is wanted', () => {
    const limits = limitsFor({ capacity: g(5000), d: g(1), accuracyClass: 'III' }, 'handbook-44');
    expect([g(500), g(2000), g(4000), g(4001)].map(limits.at)).toEqual([g(1), g(2), g(3), g(5)]);
    expect(limits.basis).toContain('NIST Handbook 44');
  });

  it('is nothing where no class fits and nothing is stated', () => {
    expect(checkLimits({ capacity: g(3000), d: g(50) }, 'oiml')).toBeUndefined();
  });
});

describe('the weights that can judge a scale', () => {
  const choose = (scale: CheckedScale, ...weights: CheckWeight[]) => {
    const { use, leave } = chooseWeights(weights, scale, limitsFor(scale));
    return { use, leave: leave.map(({ weight: { nominal }, why }) => `${nominal / 1e6}: ${why}`) };
  };

  it("are the demo's 1000 g for the bench scale and 50 g for the fine one", () => {
    const [heavy, light] = [weight(1000), weight(50)];
    expect(choose({ ...bench, permissibleError: g(0.2) }, heavy, light)).toEqual({
      use: [heavy],
      leave: ['50: it is too light to tell much about this scale'],
    });
    expect(choose(fine, heavy, light)).toEqual({
      use: [light],
      leave: ['1000: it is heavier than the scale can carry'],
    });
  });

  it('are not those whose own error is too large for its limits: 200 g of M1 on e = 0.01 g, but of F2', () => {
    expect(choose(fine, weight(200, 'M1'), weight(200, 'F2'))).toEqual({
      use: [weight(200, 'F2')],
      leave: ['200: its own error is more than a third of what the scale may be off'],
    });
  });

  it('are, where all are light, the heaviest: better than none', () => {
    expect(choose(bench, weight(50, 'F2'), weight(100, 'F2')).use).toEqual([weight(100, 'F2')]);
    expect(choose(bench).use).toEqual([]);
  });

  it('stand in order from light to heavy; the one for the corners is nearest to a third of the capacity', () => {
    const { use } = choose(bench, weight(5000, 'F2'), weight(500, 'F2'), weight(2000, 'F2'));
    expect(use.map(({ nominal }) => nominal)).toEqual([g(500), g(2000), g(5000)]);
    expect(cornerWeight(use, bench)).toEqual(weight(2000, 'F2'));
    expect(cornerWeight([], bench)).toBeUndefined();
  });
});
