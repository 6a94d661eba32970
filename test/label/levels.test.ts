/** Highest levels against what is in. Legal maxima mean the product ready for use (Reg. (EC) 1223/2009, Annex V). */
import { describe, expect, it } from 'vitest';
import { labelOfFormula } from '../../src/label/labelSheet.ts';
import { levelsOf } from '../../src/label/levels.ts';
import { printLabel } from '../../src/label/printLabel.ts';
import { demo, demoFormula } from '../plan/fixtures.ts';
import { ingredient, material, workshopOf } from './mixes.ts';

const [base, oil, other] = [ingredient('base', 'Talc'), ingredient('oil', 'Oil'), ingredient('other', 'Other Oil')];
const workshop = workshopOf([base, oil, other]);

function level(amounts: readonly [number, number, number], ppm: number, dryingPpm: number) {
  const [a, b, c] = amounts;
  const limit = { ingredients: ['oil', 'other'], ppm, dryingPpm, why: 'test' };
  return levelsOf([material(base, a), material(oil, b), material(other, c)], [limit], workshop)[0];
}

describe('a highest level', () => {
  it('may be reached, not passed; several ingredients count together', () => {
    expect(level([990, 6, 4], 10_000, 0)).toMatchObject({ ppm: 10_000, over: false, names: ['oil', 'other'] });
    expect(level([989, 7, 4], 10_000, 0)).toMatchObject({ ppm: 11_000, over: true });
  });

  it('of the dried bar: 1.00 % as weighed is 1.0471 % after a loss of 4.5 %', () => {
    expect(level([990, 10, 0], 10_000, 45_000)).toMatchObject({ ppm: 10_472, over: true });
    expect(level([990_450, 9_550, 0], 10_000, 45_000)).toMatchObject({ ppm: 10_000, over: false });
    expect(level([990_449, 9_551, 0], 10_000, 45_000)).toMatchObject({ ppm: 10_002, over: true });
  });

  it('counts what comes in with a stock, however deep, by what the lot states of itself', () => {
    const stock = ingredient('stock', 'Talc', {
      madeOf: [
        { of: 'oil', ppm: 10_000 },
        { of: 'base', ppm: 990_000 },
      ],
    });
    const mixed = ingredient('mixed', 'Talc', {
      madeOf: [
        { of: 'stock', ppm: 500_000 },
        { of: 'base', ppm: 500_000 },
      ],
    });
    const strong = { madeOf: [{ of: 'oil', ppm: 1_000_000 }] };
    const lot = { id: 'M-2', onHand: 0 as never, expires: undefined, pricePerKg: undefined, jar: undefined, ...strong };
    const shop = workshopOf([base, oil, other, stock, { ...mixed, lots: [lot] }]);
    const limit = { ingredients: ['oil'], ppm: 10_000, dryingPpm: 0, why: 'test' };
    const levels = (of: string | undefined) => {
      const parts = [material(base, 700), material(oil, 9), material(stock, 91), material(mixed, 200, of)];
      return levelsOf(parts, [limit], shop)[0];
    };
    // 9 + 91 / 100 + 200 / 200 of 1000; the other lot is all oil.
    expect(levels('M-1')).toMatchObject({ ppm: 10_910, over: true });
    expect(levels('M-2')).toMatchObject({ ppm: 209_910, over: true });
    const kept = [material(base, 719), material(oil, 9), material(mixed, 200), material(stock, 0), material(other, 72)];
    expect(levelsOf(kept, [limit], shop)[0]).toMatchObject({ ppm: 10_000, over: false });
  });

  it('that is passed stands out', () => {
    const limits = [{ ingredients: ['blue-dye'], ppm: 300, dryingPpm: 0, why: 'test' }];
    const made = labelOfFormula({ ...demoFormula, limits }, demo);
    expect(made.ok && printLabel(made.sheet)).toContain('TOO MUCH: Blue dye powder: 0.04 %, at most 0.03 % (test)');
  });
});
