import fc from 'fast-check';
import { expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { histogram } from '../../src/stats/histogram.ts';
import { individualsChart } from '../../src/stats/individualsChart.ts';

const g = (grams: number) => mass(Math.round(grams * 1e6));

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, example of a flow rate (data from memory). The book prints
// 50.81, 1.8778, 55.8041 and 45.8159 with d2 = 1.128; unrounded, d2 = 2 / sqrt(pi) moves the limits by 0.0017.
test('the e-Handbook example of an individuals chart', () => {
  const flow = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1].map(g);
  const chart = individualsChart(flow);
  const shown = (micrograms = 0) => (micrograms / 1e6).toFixed(4);
  expect(shown(chart?.centre)).toBe('50.8100');
  expect(shown(chart?.meanRange)).toBe('1.8778');
  const byTable = (3 / 1.128) * ((chart?.meanRange ?? 0) / 1e6);
  expect((50.81 + byTable).toFixed(4)).toBe('55.8041');
  expect((50.81 - byTable).toFixed(4)).toBe('45.8159');
  expect(shown(chart?.upper)).toBe('55.8024');
  expect(shown(chart?.lower)).toBe('45.8176');
  // D4 of the printed tables is 3.267
  expect(((chart?.upperRange ?? 0) / (chart?.meanRange ?? 1)).toFixed(3)).toBe('3.267');
  expect(chart?.outside).toEqual([]);
  expect(chart?.ranges.slice(0, 3)).toEqual([g(2), g(2.3), g(1.4)]);
});

test('a bar far off shows; fewer than two have no chart', () => {
  const bars = [75, 75.1, 74.9, 75, 75.1, 79, 75, 74.9, 75.1, 75, 75, 74.9, 75.1, 75, 75].map(g);
  expect(individualsChart(bars)?.outside).toEqual([5]);
  expect(individualsChart([g(75)])).toBeUndefined();
  expect(individualsChart([])).toBeUndefined();
});

test('bins hold every value once, in whole intervals of the scale', () => {
  const values = fc.array(
    fc.integer({ min: 700, max: 800 }).map((tenths) => g(tenths / 10)),
    { minLength: 1 },
  );
  fc.assert(
    fc.property(values, (masses) => {
      const bins = histogram(masses, g(0.1));
      expect(bins.reduce((sum, { count }) => sum + count, 0)).toBe(masses.length);
      for (const [index, { from, to, count }] of bins.entries()) {
        expect(count).toBe(masses.filter((each) => each >= from && each < to).length);
        expect((to - from) % g(0.1)).toBe(0);
        expect(from % (to - from)).toBe(0);
        if (index > 0) expect(from).toBe(bins[index - 1]?.to);
      }
      expect(bins.length).toBeLessThanOrEqual(Math.ceil(Math.log2(masses.length)) + 3);
    }),
  );
  expect(histogram([], g(0.1))).toEqual([]);
});
