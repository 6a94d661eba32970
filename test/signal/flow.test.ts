import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flowOf } from '../../src/signal/flow.ts';
import type { Sample } from '../../src/signal/settled.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { g } from './told.ts';

const readings = (grams: readonly number[]): readonly Sample[] =>
  grams.map((each, index) => ({ at: 100 * index, gross: g(each), stable: undefined }));

describe('flow', () => {
  it.each<[string, readonly number[], number]>([
    ['no reading', [], 0],
    ['two readings say nothing yet', [0, 5], 0],
    ['at rest', [12, 12, 12, 12], 0],
    ['a steady pour', [0, 1, 2, 3, 4, 5], 10],
    ['spooned out', [5, 4.8, 4.6, 4.4], -2],
    ['one wild reading turns nothing', [0, 1, 2, 30, 4, 5], 10],
    ['only the last half second counts', [0, 50, 100, 100, 100, 100, 100, 100, 100], 0],
  ])('%s', (_, grams, perSecond) => {
    expect(flowOf(readings(grams))).toEqual(expect.closeTo(perSecond * 1e6, 0));
  });

  it('readings of the same instant do not make it infinite', () => {
    const twice = [...readings([1, 2, 3]), { at: 200, gross: g(9), stable: undefined }];
    expect(Number.isFinite(flowOf(twice))).toBe(true);
    expect(flowOf(Array(5).fill({ at: 0, gross: g(1), stable: undefined }))).toBe(0);
  });

  it('holds for any number of readings, in time', () => {
    const many = Array.from({ length: 20_000 }, (_, index) => ({
      at: index / 40,
      gross: g(index / 4000),
      stable: undefined,
    }));
    expect(flowOf(many)).toEqual(expect.closeTo(10e6, 0));
  });

  it('is the true slope, but for the rounding and noise of the readings', () => {
    fc.assert(
      fc.property(fc.double({ min: -40, max: 40, noNaN: true }), fc.nat(1000), (perSecond, seed) => {
        const random = seededRandom(seed);
        const tenths = Array.from({ length: 6 }, (_, index) => perSecond * index + 0.3 * random.normal());
        const noisy = readings(tenths.map((each) => Math.round(each) / 10));
        // Two readings off by up to 0.15 g each (five times the noise), at least 0.2 s apart for the median.
        expect(Math.abs(flowOf(noisy) / 1e6 - perSecond)).toBeLessThan((2 * 0.15) / 0.2);
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});
