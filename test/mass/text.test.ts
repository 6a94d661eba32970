import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import {
  decimalsOf,
  exactGrams,
  onGrid,
  printMass,
  readDecimal,
  readMass,
  readMassWithUnit,
} from '../../src/mass/text.ts';

const anyMass = fc.maxSafeInteger().map((ug) => mass(ug));
/** What a recipe or a scale may say: up to 9 t either side, up to nine decimals. */
const decimalText = fc
  .tuple(
    fc.constantFrom('', '+', '-'),
    fc.integer({ min: 0, max: 8_999_999 }),
    fc.option(fc.stringMatching(/^\d{1,9}$/), { nil: undefined }),
  )
  .map(([sign, whole, fraction]) => `${sign}${whole}${fraction === undefined ? '' : `.${fraction}`}`);

describe('reading masses', () => {
  it('agrees with a decimal library, digit for digit', () => {
    fc.assert(
      fc.property(decimalText, fc.constantFrom('g', 'kg', 'mg'), (text, unit) => {
        const perUnit = { g: 1e6, kg: 1e9, mg: 1e3 }[unit];
        const exact = new Decimal(text).mul(perUnit).toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN);
        const read = readMass(text, unit);
        expect(read).toBe(exact.isZero() ? 0 : exact.toNumber());
        expect(readMassWithUnit(`${text} ${unit}`)).toBe(read);
        expect(readMassWithUnit(`${text}${unit}`)).toBe(read);
      }),
    );
  });

  it('has no trouble with what binary fractions can not hold', () => {
    expect(readMass('0.1', 'g')).toBe(100_000);
    expect(readMass('1.005', 'g')).toBe(1_005_000);
    expect(readMass('4.35', 'kg')).toBe(4_350_000_000);
    expect((readMass('0.1', 'g') ?? 0) + (readMass('0.2', 'g') ?? 0)).toBe(readMass('0.3', 'g'));
  });

  it.each(['', ' ', '.', '-', '1.', '.5', '1e3', '0x10', '1,5', '1 000', '1.2.3', '+-1', 'NaN', 'Infinity', '١', '½'])(
    'refuses %j',
    (text) => {
      expect(readDecimal(text)).toBeUndefined();
      expect(readMass(text, 'g')).toBeUndefined();
      expect(readMassWithUnit(`${text} g`)).toBeUndefined();
    },
  );

  it.each(['5', '5 ', 'g', '5 G', '5 stone', '5 g g', '5 g/ml', '5 constructor'])(
    'never guesses a unit: %j',
    (text) => {
      expect(readMassWithUnit(text)).toBeUndefined();
    },
  );

  it('does not grow with hostile text', () => {
    expect(readDecimal('9'.repeat(1_000_000))).toBeUndefined();
    expect(readMass('9'.repeat(30), 'kg')).toBeUndefined();
    expect(readMass(`0.${'0'.repeat(25)}1`, 'kg')).toBe(0);
  });
});

describe('printing masses', () => {
  it('agrees with a decimal library: to the nearest, ties to even, never "-0.0"', () => {
    fc.assert(
      fc.property(anyMass, fc.integer({ min: 0, max: 9 }), (of, decimals) => {
        const exact = new Decimal(of).div(1e6).toFixed(decimals, Decimal.ROUND_HALF_EVEN);
        expect(printMass(of, { decimals })).toBe(exact.replace(/^-(0(\.0*)?)$/, '$1'));
      }),
    );
  });

  it('in exact grams loses nothing: read back it is the same', () => {
    fc.assert(
      fc.property(anyMass, (of) => {
        expect(exactGrams(of)).toMatch(/^-?\d+\.\d{3,6}$/);
        expect(readMass(exactGrams(of), 'g')).toBe(of);
      }),
    );
    expect(exactGrams(mass(120_000))).toBe('0.120');
    expect(exactGrams(mass(1))).toBe('0.000001');
    expect(exactGrams(mass(-1_500_000))).toBe('-1.500');
  });

  it.each([
    [5_000, 2, 'half-even', '0.00'],
    [15_000, 2, 'half-even', '0.02'],
    [25_000, 2, 'half-even', '0.02'],
    [25_000, 2, 'half-away', '0.03'],
    [-25_000, 2, 'half-away', '-0.03'],
    [20_001, 2, 'up', '0.03'],
    [-20_001, 2, 'up', '-0.02'],
    [29_999, 2, 'down', '0.02'],
    [-20_001, 2, 'down', '-0.03'],
    [499_999, 0, 'half-even', '0'],
    [500_001, 0, 'half-even', '1'],
  ] as const)('rounds %d ug to %d decimals, %s: %s', (ug, decimals, rounding, text) => {
    expect(printMass(mass(ug), { decimals, rounding })).toBe(text);
  });

  it('can show the plus of a gain, but none of nothing', () => {
    expect(printMass(mass(20_000), { decimals: 2, plus: true })).toBe('+0.02');
    expect(printMass(mass(0), { decimals: 2, plus: true })).toBe('0.00');
    expect(printMass(mass(1), { decimals: 2, plus: true })).toBe('0.00');
  });
});

describe('a scale interval', () => {
  it.each([
    [1_000_000, 0],
    [5_000_000, 0],
    [500_000, 1],
    [100_000, 1],
    [200_000, 1],
    [50_000, 2],
    [10_000, 2],
    [1_000, 3],
    [1, 6],
  ])('of %d ug is shown with %d decimals', (d, decimals) => {
    expect(decimalsOf(mass(d))).toBe(decimals);
  });

  it('takes a mass to its nearest multiple, ties away from zero, as displays do', () => {
    const d = mass(100_000);
    expect(onGrid(mass(149_999), d)).toBe(100_000);
    expect(onGrid(mass(150_000), d)).toBe(200_000);
    expect(onGrid(mass(-150_000), d)).toBe(-200_000);
    expect(onGrid(mass(-49_999), d)).toBe(0);
    fc.assert(
      fc.property(
        fc.integer({ min: -(2 ** 52), max: 2 ** 52 }),
        fc.constantFrom(1, 2, 5, 10_000, 100_000),
        (of, step) => {
          const exact = new Decimal(of).div(step).toDecimalPlaces(0, Decimal.ROUND_HALF_UP).mul(step);
          expect(onGrid(mass(of), mass(step))).toBe(exact.isZero() ? 0 : exact.toNumber());
        },
      ),
    );
    // One past 2^52, where adding a half in floating point already goes wrong.
    expect(onGrid(mass(2 ** 52 + 1), mass(1))).toBe(2 ** 52 + 1);
  });
});
