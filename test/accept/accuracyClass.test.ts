import { describe, expect, it } from 'vitest';
import { fitsClass, inferClass, minimumCapacity } from '../../src/accept/accuracyClass.ts';
import { g } from '../records/sampleFacts.ts';

// OIML R 76-1:2006, Table 3, row by row: e, the fewest and the most intervals n, Min. `null`: no upper end.
const TABLE_3 = [
  ['I', 0.001, 50_000, null, 100],
  ['I', 1, 50_000, null, 100],
  ['II', 0.001, 100, 100_000, 20],
  ['II', 0.05, 100, 100_000, 20],
  ['II', 0.1, 5_000, 100_000, 50],
  ['II', 5, 5_000, 100_000, 50],
  ['III', 0.1, 100, 10_000, 20],
  ['III', 2, 100, 10_000, 20],
  ['III', 5, 500, 10_000, 20],
  ['III', 50, 500, 10_000, 20],
  ['IIII', 5, 100, 1_000, 10],
  ['IIII', 50, 100, 1_000, 10],
] as const;

describe('accuracy classes (OIML R 76-1:2006, Table 3)', () => {
  it.each(TABLE_3)(
    'class %s with e = %d g has %d to %s intervals and Min = %d e',
    (accuracyClass, e, from, to, min) => {
      const verification = { accuracyClass, e: g(e) };
      expect(minimumCapacity(verification)).toBe(g(min * e));
      expect(fitsClass(verification, g(from * e))).toBe(true);
      expect(fitsClass(verification, g((from - 1) * e))).toBe(false);
      if (to === null) expect(fitsClass(verification, g(10_000_000 * e))).toBe(true);
      else {
        expect(fitsClass(verification, g(to * e))).toBe(true);
        expect(fitsClass(verification, g((to + 1) * e))).toBe(false);
      }
    },
  );

  it.each([
    ['I', 0.0005],
    ['II', 0.0005],
    ['III', 0.05],
    ['IIII', 2],
  ] as const)('class %s has no e as small as %d g', (accuracyClass, e) => {
    expect(minimumCapacity({ accuracyClass, e: g(e) })).toBeUndefined();
    expect(fitsClass({ accuracyClass, e: g(e) }, g(1000 * e))).toBe(false);
  });

  it('Min of class II is 50 e and not 500 e, as one public copy of the table misprints', () => {
    expect(minimumCapacity({ accuracyClass: 'II', e: g(0.1) })).toBe(g(5));
  });
});

describe('the class inferred from capacity and interval: the coarsest that Table 3 allows', () => {
  it.each([
    // The check rows: n 3 000; n 20 000, too many for III; n 20 000.
    [3000, 1, 'III', 1],
    [2000, 0.1, 'II', 0.1],
    [200, 0.01, 'II', 0.01],
    // The demo's bench scale: n 50 000.
    [5000, 0.1, 'II', 0.1],
    // Both II and III are possible; the limits of III are the wider ones.
    [600, 0.1, 'III', 0.1],
    [5000, 5, 'IIII', 5],
    [5000, 0.01, 'I', 0.01],
    // A display finer than 1 mg is an auxiliary one: e is not smaller than 1 mg.
    [100, 0.0001, 'II', 0.001],
  ])('Max %d g, d = %d g: class %s with e = %d g', (capacity, d, accuracyClass, e) => {
    expect(inferClass(g(d), g(capacity))).toEqual({ accuracyClass, e: g(e) });
  });

  it('is none where nothing fits', () => {
    expect(inferClass(g(50), g(3000))).toBeUndefined();
  });
});
