import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { costData, costFrom, costInWords, plannedCost } from '../../src/stock/cost.ts';
import { costOf, printMoney } from '../../src/stock/money.ts';
import { demo, demoFormula, planOf, workshopFrom } from '../plan/fixtures.ts';
import { aDraw, aPlan, g } from '../weighing/samplePlan.ts';

const price = fc
  .tuple(fc.nat(9_999_999), fc.nat(999_999))
  .map(([whole, part]) => `${whole}.${String(part).padStart(6, '0')}`);

test('money is exact: sums and roundings are those of a library for decimal numbers (decimal.js)', () => {
  Decimal.set({ precision: 60, rounding: Decimal.ROUND_HALF_UP });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat(5_000_000_000), price), { maxLength: 8 }),
      fc.integer({ min: 1, max: 400 }),
      (lots, bars) => {
        const sum = lots.reduce((all, [ug, per]) => all + (costOf(mass(ug), per) ?? 0n), 0n);
        const due = lots.reduce((all, [ug, per]) => all.plus(new Decimal(ug).div(1e9).times(per)), new Decimal(0));
        expect(printMoney(sum)).toBe(due.toFixed(2));
        expect(printMoney(sum, { decimals: 4 })).toBe(due.toFixed(4));
        expect(printMoney(sum, { among: bars })).toBe(due.div(bars).toFixed(2));
      },
    ),
  );
});

test('what is no price costs nothing that could be told', () => {
  for (const text of ['', '-1', '1e3', '1.2345678', 'free', '1,50']) expect(costOf(g(100), text), text).toBeUndefined();
  expect(costOf(g(1000), '13.80')).toBe(13_800_000_000_000_000n);
});

test('the demo batch: material 24.67, 1.03 a bar (the sums of the scenario, worked out outside of this project)', () => {
  const cost = plannedCost(planOf(demo, demoFormula));
  expect(printMoney(cost.material)).toBe('24.67');
  expect(costInWords(cost)).toBe('Material 24.67 EUR, 1.03 EUR a bar');
  expect(costData(cost)).toMatchObject({
    currency: 'EUR',
    material: '24.67',
    per_bar: '1.03',
    waste: '0.00',
    unpriced: [],
  });
});

test('waste is paid for and told apart; a lot without a price is named, never taken for free in silence', () => {
  const plan = aPlan([aDraw('A1'), aDraw('A2')], {
    bars: 4,
    lots: { 'ingredient A1': { 'lot A1': { pricePerKg: '20' } }, 'ingredient A2': { 'lot A2': {} } },
  });
  const cost = costFrom(plan, [
    { ingredient: 'ingredient A1', lot: 'lot A1', taken: g(110), waste: g(10) },
    { ingredient: 'ingredient A2', lot: 'lot A2', taken: g(100), waste: g(0) },
  ]);
  expect(costInWords(cost)).toBe(
    'Material 2.20, 0.55 a bar; 0.20 of it waste (without a price: Ingredient A2, lot lot A2)',
  );
  expect(costData(costFrom(aPlan(), []))).toBeNull();
});

test('the money of the workshop is text of its file', () => {
  const text = (currency: string) => `
name: Small
operators: [Someone]
${currency}
scales: {bench: {capacity: 5 kg, d: 0.1 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 1 l}}
ingredients: {flour: {name: Flour, inci: Flour}}
`;
  expect(workshopFrom(text('currency: SEK')).currency).toBe('SEK');
  expect(workshopFrom(text('')).currency).toBeUndefined();
  expect(() => workshopFrom(text('currency: a very long word'))).toThrow(/money/);
});

test('without bars it is told by the kilogram that was not wasted: the price of a stock solution that was made', () => {
  const plan = aPlan([aDraw('A1')], {
    currency: 'EUR',
    lots: { 'ingredient A1': { 'lot A1': { pricePerKg: '3.00' } } },
  });
  const taken = { ingredient: 'ingredient A1', lot: 'lot A1' };
  // 0.36 EUR for 120 g of which 100 g are left: 3.60 a kilogram.
  const cost = costFrom(plan, [{ ...taken, taken: g(120), waste: g(20) }]);
  expect(costInWords(cost)).toBe('Material 0.36 EUR, 3.60 EUR a kilogram; 0.06 EUR of it waste');
  const nothing = costFrom(plan, [{ ...taken, taken: g(20), waste: g(20) }]);
  expect(costInWords(nothing)).toBe('Material 0.06 EUR; 0.06 EUR of it waste');
});
