import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { greater, lesser, mass, minus, plus, size, sumOf } from '../../src/mass/mass.ts';
import { divideRounded } from '../../src/mass/rounding.ts';
import { splitByShares } from '../../src/mass/split.ts';

const G = 1_000_000;

describe('a mass', () => {
  it('is a whole number of micrograms that is kept exactly, or nothing', () => {
    for (const bad of [0.5, Number.NaN, Number.POSITIVE_INFINITY, 2 ** 53, -(2 ** 53)]) {
      expect(() => mass(bad)).toThrow(RangeError);
    }
    expect(mass(2 ** 53 - 1)).toBe(2 ** 53 - 1);
    expect(Object.is(mass(-0), 0)).toBe(true);
  });

  it('adds and takes off exactly, and says when it no longer can', () => {
    expect(plus(mass(100_000), mass(200_000))).toBe(300_000);
    expect(sumOf([mass(1), mass(2), mass(3)])).toBe(6);
    expect(sumOf([])).toBe(0);
    expect(() => plus(mass(2 ** 53 - 1), mass(1))).toThrow(RangeError);
    expect(() => sumOf([mass(2 ** 53 - 1), mass(2 ** 53 - 1)])).toThrow(RangeError);
    expect(() => minus(mass(-(2 ** 53 - 1)), mass(1))).toThrow(RangeError);
  });

  it('taken by difference is before less after: 22.85 g - 22.25 g = 0.60 g (a public teaching text)', () => {
    expect(minus(mass(22.85 * G), mass(22.25 * G))).toBe(0.6 * G);
  });

  it('can be compared', () => {
    expect([lesser(mass(1), mass(2)), greater(mass(1), mass(2)), size(mass(-3))]).toEqual([1, 2, 3]);
  });
});

describe('division, rounded once', () => {
  const MODES = {
    'half-even': Decimal.ROUND_HALF_EVEN,
    'half-away': Decimal.ROUND_HALF_UP,
    up: Decimal.ROUND_CEIL,
    down: Decimal.ROUND_FLOOR,
  } as const;

  it.each(['half-even', 'half-away', 'up', 'down'] as const)('%s is what a decimal library does', (rounding) => {
    const Precise = Decimal.clone({ precision: 80 });
    fc.assert(
      fc.property(fc.bigInt(-(10n ** 18n), 10n ** 18n), fc.bigInt(1n, 10n ** 6n), (numerator, denominator) => {
        const exact = new Precise(numerator.toString()).div(denominator.toString());
        const expected = exact.toDecimalPlaces(0, MODES[rounding]).toFixed(0).replace(/^-0$/, '0');
        expect(divideRounded(numerator, denominator, rounding).toString()).toBe(expected);
      }),
    );
  });

  it.each([
    [1n, 0n, 1n, 1n, 0n],
    [3n, 2n, 2n, 2n, 1n],
    [5n, 2n, 3n, 3n, 2n],
    [-1n, 0n, -1n, 0n, -1n],
    [-3n, -2n, -2n, -1n, -2n],
    [-5n, -2n, -3n, -2n, -3n],
    [4n, 2n, 2n, 2n, 2n],
    [0n, 0n, 0n, 0n, 0n],
  ])('%d / 2: half-even %d, half-away %d, up %d, down %d', (numerator, even, away, up, down) => {
    expect(divideRounded(numerator, 2n, 'half-even')).toBe(even);
    expect(divideRounded(numerator, 2n, 'half-away')).toBe(away);
    expect(divideRounded(numerator, 2n, 'up')).toBe(up);
    expect(divideRounded(numerator, 2n, 'down')).toBe(down);
  });

  it('by nothing or less is refused', () => {
    expect(() => divideRounded(1n, 0n, 'up')).toThrow(RangeError);
    expect(() => divideRounded(1n, -1n, 'up')).toThrow(RangeError);
  });
});

describe('a split by the largest remainder', () => {
  it('adds up exactly, and no piece is off its share by a microgram or more', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 10_000 * G }),
        fc.array(fc.integer({ min: 0, max: 1_000_000 }), { minLength: 1, maxLength: 25 }),
        (total, shares) => {
          const sum = shares.reduce((a, b) => a + b, 0);
          fc.pre(sum > 0);
          const pieces = splitByShares(mass(total), shares);
          expect(sumOf(pieces)).toBe(total);
          pieces.forEach((piece, index) => {
            const share = BigInt(total) * BigInt(shares[index] ?? 0);
            const off = BigInt(piece) * BigInt(sum) - share;
            expect(off < BigInt(sum) && -off < BigInt(sum)).toBe(true);
          });
        },
      ),
      { numRuns: 3000 },
    );
  });

  it('keeps the order of shares: a larger share never gets less', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1000 }),
        fc.array(fc.integer({ min: 1, max: 1000 }), { minLength: 2, maxLength: 10 }),
        (total, shares) => {
          const pieces = splitByShares(mass(total), shares);
          for (let i = 0; i < shares.length; i++) {
            for (let j = 0; j < shares.length; j++) {
              if ((shares[i] ?? 0) > (shares[j] ?? 0)) expect(pieces[i]).toBeGreaterThanOrEqual(pieces[j] ?? 0);
            }
          }
        },
      ),
    );
  });

  it('gives what is left to the first among equals', () => {
    expect(splitByShares(mass(10), [1, 1, 1])).toEqual([4, 3, 3]);
    expect(splitByShares(mass(0), [1, 0])).toEqual([0, 0]);
  });

  it.each([[[]], [[0, 0]], [[-1, 2]], [[0.5]], [[Number.NaN]]])('refuses shares %j', (shares) => {
    expect(() => splitByShares(mass(10), shares)).toThrow(RangeError);
  });

  it('refuses a mass below zero', () => {
    expect(() => splitByShares(mass(-1), [1])).toThrow(RangeError);
  });

  it('of a mixture: 3.75 mg in 5.0 g are 0.075 % (OpenStax, Chemistry, example 3.22)', () => {
    expect(splitByShares(mass(5 * G), [750, 999_250])).toEqual([3_750, 4_996_250]);
  });

  it('of a blend: 28 % active in 12 % of the formula are 3.36 % (a trade journal, formulating column)', () => {
    const [blend] = splitByShares(mass(1000 * G), [120_000, 880_000]);
    const [active] = splitByShares(blend ?? mass(0), [280_000, 720_000]);
    expect(active).toBe(33.6 * G);
  });
});
