/**
 * Sources: NIST Handbook 44, appendix C (general tables of units of measurement), and the definitions of UCUM: the
 * avoirdupois pound is 0.45359237 kg exactly, of 16 ounces and 7000 grains; 24 grains are a pennyweight, 20 of those a
 * troy ounce; the metric carat is 0.2 g.
 */
import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { printMass, readMass, readMassWithUnit } from '../../src/mass/text.ts';
import { fromMicrograms, isUnit, MICROGRAMS_IN, toMicrograms, type Unit } from '../../src/mass/units.ts';

/** Grams in one unit, exact by definition. */
const GRAMS: Readonly<Record<Unit, string>> = {
  kg: '1000',
  g: '1',
  mg: '0.001',
  lb: '453.59237',
  oz: '28.349523125',
  gr: '0.06479891',
  ct: '0.2',
  dwt: '1.55517384',
  ozt: '31.1034768',
};
const UNITS = Object.keys(GRAMS).filter(isUnit);

describe('units of mass', () => {
  it.each(UNITS)('%s has the micrograms of its definition', (unit) => {
    const { numerator, denominator } = MICROGRAMS_IN[unit];
    const micrograms = new Decimal(numerator.toString()).div(denominator.toString());
    expect(micrograms.toString()).toBe(new Decimal(GRAMS[unit]).mul(1e6).toString());
  });

  it('16 oz and 7000 gr make one pound, and 437.5 gr one ounce, exactly', () => {
    const pound = toMicrograms(1n, 0, 'lb');
    expect(pound).toBe(453_592_370);
    expect(toMicrograms(16n, 0, 'oz')).toBe(pound);
    expect(toMicrograms(7000n, 0, 'gr')).toBe(pound);
    expect(toMicrograms(4375n, 1, 'gr')).toBe(toMicrograms(1n, 0, 'oz'));
  });

  it('20 dwt are one troy ounce, 175 troy ounces 12 pounds, 5 ct one gram, exactly', () => {
    expect(toMicrograms(20n, 0, 'dwt')).toBe(toMicrograms(1n, 0, 'ozt'));
    expect(toMicrograms(175n, 0, 'ozt')).toBe(toMicrograms(12n, 0, 'lb'));
    expect(toMicrograms(5n, 0, 'ct')).toBe(1_000_000);
  });

  // From the exact factor, five decimals.
  it.each([
    [50, '1.76370'],
    [60, '2.11644'],
    [75, '2.64555'],
    [85, '2.99829'],
    [100, '3.52740'],
    [113, '3.98596'],
    [120, '4.23288'],
    [150, '5.29109'],
    [227, '8.00719'],
  ])('%d g are %s oz', (grams, ounces) => {
    expect(printMass(mass(grams * 1_000_000), { unit: 'oz', decimals: 5 })).toBe(ounces);
  });

  it.each([
    ['2 oz', 56_699_046],
    ['4 oz', 113_398_092],
    ['8 oz', 226_796_185],
    ['16 oz', 453_592_370],
    ['1 gr', 64_799],
    ['1 lb', 453_592_370],
  ])('%s are %d ug, rounded once', (text, micrograms) => {
    expect(readMassWithUnit(text)).toBe(micrograms);
  });

  it('of anything else are no units', () => {
    for (const word of ['', 'G', 'KG', 'ounce', 'constructor', '__proto__', 'toString'])
      expect(isUnit(word)).toBe(false);
  });

  it('convert in and out as a decimal library does, to the nearest, ties to even', () => {
    const number = fc.tuple(fc.integer({ min: -9_000_000, max: 9_000_000 }), fc.integer({ min: 0, max: 9 }));
    fc.assert(
      fc.property(number, fc.constantFrom(...UNITS), ([digits, scale], unit) => {
        const exact = new Decimal(digits).div(new Decimal(10).pow(scale)).mul(GRAMS[unit]).mul(1e6);
        const whole = exact.toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN);
        expect(new Decimal(toMicrograms(BigInt(digits), scale, unit)).eq(whole)).toBe(true);
      }),
    );
    fc.assert(
      fc.property(
        fc.maxSafeInteger(),
        fc.constantFrom(...UNITS),
        fc.integer({ min: 0, max: 9 }),
        (micrograms, unit, decimals) => {
          const places = new Decimal(10).pow(decimals);
          const exact = preciseQuotient(micrograms, unit).mul(places);
          const expected = exact.toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN).toFixed(0);
          expect(fromMicrograms(mass(micrograms), decimals, unit).toString()).toBe(expected.replace(/^-0$/, '0'));
        },
      ),
    );
  });

  it('past what can be kept exactly are refused, never rounded in silence', () => {
    expect(() => toMicrograms(9_008n, 0, 'kg')).not.toThrow();
    expect(() => toMicrograms(9_007_200n, 0, 'kg')).toThrow(RangeError);
    expect(() => toMicrograms(-9_007_200n, 0, 'kg')).toThrow(RangeError);
    expect(readMass('9007200', 'kg')).toBeUndefined();
    const most: Mass | undefined = readMass('9007199.254740991', 'kg');
    expect(most).toBe(Number.MAX_SAFE_INTEGER);
  });
});

/** A quotient with digits to spare, so that rounding it again to the nearest is safe. */
function preciseQuotient(micrograms: number, unit: Unit): Decimal {
  const Precise = Decimal.clone({ precision: 60 });
  return new Precise(micrograms).div(1e6).div(GRAMS[unit]);
}
