import { describe, expect, it } from 'vitest';
import { isGoodEnough, WEIGHT_CLASSES, weightError } from '../../src/accept/checkWeights.ts';
import { permissibleOnVerification } from '../../src/accept/permissible.ts';
import { g } from '../records/sampleFacts.ts';

// OIML R 111-1:2004, Table 1: nominal mass in grams, then the limits of E2, F1, F2, M1, M2 in milligrams, typed anew.
const TABLE_1: readonly (readonly [number, string])[] = [
  [0.001, '0.006 0.020 0.06 0.20 -'],
  [0.002, '0.006 0.020 0.06 0.20 -'],
  [0.005, '0.006 0.020 0.06 0.20 -'],
  [0.01, '0.008 0.025 0.08 0.25 -'],
  [0.02, '0.010 0.03 0.10 0.3 -'],
  [0.05, '0.012 0.04 0.12 0.4 -'],
  [0.1, '0.016 0.05 0.16 0.5 1.6'],
  [0.2, '0.020 0.06 0.20 0.6 2.0'],
  [0.5, '0.025 0.08 0.25 0.8 2.5'],
  [1, '0.03 0.10 0.3 1.0 3.0'],
  [2, '0.04 0.12 0.4 1.2 4.0'],
  [5, '0.05 0.16 0.5 1.6 5.0'],
  [10, '0.06 0.20 0.6 2.0 6.0'],
  [20, '0.08 0.25 0.8 2.5 8.0'],
  [50, '0.10 0.3 1.0 3.0 10'],
  [100, '0.16 0.5 1.6 5.0 16'],
  [200, '0.3 1.0 3.0 10 30'],
  [500, '0.8 2.5 8.0 25 80'],
  [1000, '1.6 5.0 16 50 160'],
  [2000, '3.0 10 30 100 300'],
  [5000, '8.0 25 80 250 800'],
];

describe('check weights (OIML R 111-1:2004, Table 1)', () => {
  it.each(TABLE_1)('%d g: %s mg', (nominal, limits) => {
    const found = WEIGHT_CLASSES.map((weightClass) => weightError({ nominal: g(nominal), weightClass }));
    expect(found).toEqual(limits.split(' ').map((mg) => (mg === '-' ? undefined : Math.round(Number(mg) * 1000))));
  });

  it('5 mg of M1 is 0.20 mg and not 0.02 mg, as one public copy of the table misprints', () => {
    expect(weightError({ nominal: g(0.005), weightClass: 'M1' })).toBe(200);
  });

  it('for a mass that the table does not have there is no limit', () => {
    expect(weightError({ nominal: g(150), weightClass: 'M1' })).toBeUndefined();
    expect(weightError({ nominal: g(10_000), weightClass: 'M1' })).toBeUndefined();
  });
});

describe('whether a weight is good enough: at most a third of the permissible error (OIML R 76-1, from memory)', () => {
  // The 200 g example: mpe 50 mg on e = 0.1 g, 10 mg on e = 0.01 g.
  it.each([
    ['M1', 0.1, true],
    ['M1', 0.01, false],
    ['F2', 0.01, true],
    ['F1', 0.01, true],
    ['M2', 0.1, false],
  ] as const)('200 g of %s on a class II instrument with e = %d g: %s', (weightClass, e, good) => {
    const nominal = g(200);
    const permissible = permissibleOnVerification(nominal, { accuracyClass: 'II', e: g(e) });
    expect(isGoodEnough({ nominal, weightClass }, permissible)).toBe(good);
  });

  it('a third itself is enough, and what the table does not have never is', () => {
    expect(isGoodEnough({ nominal: g(200), weightClass: 'M1' }, g(0.03))).toBe(true);
    expect(isGoodEnough({ nominal: g(200), weightClass: 'M1' }, g(0.029999))).toBe(false);
    expect(isGoodEnough({ nominal: g(150), weightClass: 'M1' }, g(100))).toBe(false);
  });
});
