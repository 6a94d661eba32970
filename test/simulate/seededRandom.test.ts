import { expect, test } from 'vitest';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

test('the same seed gives the same numbers', () => {
  const draw = (seed: number) => Array.from({ length: 5 }, seededRandom(seed).next);
  expect(draw(42)).toEqual(draw(42));
  expect(draw(42)).not.toEqual(draw(43));
});

test('even numbers lie in [0, 1) and are spread evenly', () => {
  const { next } = seededRandom(1);
  const bins = new Array<number>(10).fill(0);
  for (let count = 0; count < 10_000; count++) {
    const bin = Math.floor(next() * 10);
    bins[bin] = (bins[bin] ?? 0) + 1;
  }
  expect(bins).toHaveLength(10);
  // Chi-square with 9 degrees of freedom: 27.9 is its 99.9 % point (any statistics table).
  expect(bins.reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0)).toBeLessThan(27.9);
});

test('normal deviates have mean 0, deviation 1, and 95 % of them within 1.96 (table of the normal distribution)', () => {
  const { normal } = seededRandom(5);
  const values = Array.from({ length: 20_000 }, normal);
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const deviation = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
  expect(mean).toBeCloseTo(0, 1);
  expect(deviation).toBeCloseTo(1, 1);
  expect(values.filter((value) => Math.abs(value) < 1.96).length / values.length).toBeCloseTo(0.95, 2);
});
