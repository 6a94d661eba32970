import { expect, test } from 'vitest';
import { adviseSetPoint, ownSpread } from '../../src/contents/advice.ts';
import type { Drying } from '../../src/contents/drying.ts';
import type { BarHappened } from '../../src/facts/barFacts.ts';
import { barsOf } from '../../src/facts/bars.ts';
import { mass } from '../../src/mass/mass.ts';
import type { Cost } from '../../src/stock/cost.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { sealed } from '../weighing/samplePlan.ts';

const g = (grams: number) => mass(Math.round(grams * 1e6));
const drying: Drying = { share: 0.045, upper: 0.045, from: 'formula', bars: 0, days: null };
/** 24.00 for all that is in the batch. */
const cost: Cost = {
  currency: 'EUR',
  bars: 24,
  among: 'plan' as const,
  lines: [
    {
      ingredient: 'x',
      lot: 'L',
      name: 'X',
      taken: g(1800),
      waste: mass(0),
      pricePerKg: '13',
      cost: 24_000_000_000_000_000n,
      wasteCost: 0n,
    },
  ],
  material: 24_000_000_000_000_000n,
  waste: 0n,
  kept: g(1800),
  unpriced: [],
};
const input = {
  label: g(70),
  unit: 'g' as const,
  setPoint: g(75),
  spread: { s: 0.4e6, n: null },
  drying,
  bars: 24,
  d: g(0.1),
  cost,
  mix: g(1800),
};

test('the smallest set-point, what the one in use gives away, and what that costs', () => {
  const { least, away, lines, short } = adviseSetPoint(input);
  // (70 + 1.644854 x 0.4 / sqrt(24)) / 0.955 = 73.439
  expect(least.setPoint).toBe(g(73.5));
  // 24 x (75 - 70 / 0.955) = 40.838 g of 1800 g for 24.00
  expect(away.lot / 1e6).toBeCloseTo(40.838, 3);
  expect(lines[1]).toBe('The set-point of 75 g gives away 1.70 g a bar, 40.84 g in 24 bars, 0.54 EUR.');
  expect(short).toBe('Label 70 g: 73.5 g would do. 75 g gives away 1.70 g a bar, 40.84 g in 24 bars, 0.54 EUR.');
});

test('a set-point below that is said to be too low', () => {
  const { lines, short } = adviseSetPoint({ ...input, setPoint: g(73) });
  expect(lines[1]).toBe('The set-point of 73 g is 0.5 g below that: the lot may fail.');
  expect(short).toContain('the lot may fail');
});

test('the spread is the maker’s own from twelve bars on, about the set-point of each batch; else that of the band', () => {
  const batch = (setPoint: number, off: readonly number[]) => {
    const begin = { ...barsBegin, setPoint: g(setPoint), low: g(setPoint - 1.5), high: g(setPoint + 1.5) };
    const bars = barsOf(
      sealed([
        begin as BarHappened,
        ...off.map((each, index) => aBar(index + 1, setPoint + each)),
        aBar(99, 50, 'short'),
      ]),
    );
    if (!bars) throw new Error('no bars');
    return bars;
  };
  const half = [0.3, -0.3, 0.3, -0.3, 0.3, -0.3];
  expect(ownSpread([batch(75, half)], g(1.5))).toEqual({ s: g(1.5) / Math.sqrt(3), n: null });
  // Two set-points: the steps between batches are not the hand's spread.
  const { s, n } = ownSpread([batch(75, half), batch(73.5, half)], g(1.5));
  expect(n).toBe(12);
  expect(s / 1e6).toBeCloseTo(0.3 * Math.sqrt(12 / 11), 6);
  // Nor are those within one.
  const lower = { ...barsBegin, setPoint: g(73.5), low: g(72), high: g(75) } as BarHappened;
  const changed = barsOf(
    sealed([
      barsBegin,
      ...half.map((each, index) => aBar(index + 1, 75 + each)),
      lower,
      ...half.map((each, index) => aBar(index + 7, 73.5 + each)),
    ]),
  );
  expect(changed && ownSpread([changed], g(1.5))).toEqual({ s, n });
});
