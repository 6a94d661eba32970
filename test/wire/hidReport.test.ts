/**
 * Source of the rows: USB-IF HID Usage Tables, weighing devices page 0x8D (HID Point of Sale Usage Tables): the
 * states, the units and the order of the data report. The masses in the rows follow from the international pound of
 * 1959 (NIST Handbook 44, appendix C).
 */
import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MICROGRAMS_IN, type Unit } from '../../src/mass/units.ts';
import { USUAL_LAYOUT } from '../../src/wire/hidLayout.ts';
import { decodeHidReport } from '../../src/wire/hidReport.ts';

const bytes = (hex: string): Uint8Array => Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));
const decoded = (hex: string) => decodeHidReport(bytes(hex), 77);
const why = (hex: string): string => {
  const result = decoded(hex);
  return result.kind === 'refused' ? result.why : `taken: ${result.kind}`;
};

describe('a data report as usually laid out', () => {
  test.each([
    ['03 04 02 00 14 00', 20_000_000, 'g', true], // 20 g
    ['03 04 02 FF D2 04', 123_400_000, 'g', true], // 123.4 g
    ['03 02 02 FF 00 00', 0, 'g', true], // zero
    ['03 04 0B FF 28 00', 113_398_092, 'oz', true], // 4.0 oz = 113.3980925 g
    ['03 03 02 FF D2 04', 123_400_000, 'g', false], // moving
    ['03 04 03 FD D2 04', 1_234_000_000, 'kg', true], // 1.234 kg
    ['03 04 02 02 0C 00', 1_200_000_000, 'g', true], // 12 hundreds of grams
    ['03 04 01 00 FF FF', 65_535_000, 'mg', true], // the largest count
    ['03 04 04 FF 32 00', 1_000_000, 'ct', true], // 5.0 carats
    ['03 04 06 00 B7 00', 11_858_201, 'gr', true], // 183 grains = 11.85820053 g
    ['03 04 07 FF C8 00', 31_103_477, 'dwt', true], // 20.0 pennyweight = 31.1034768 g
    ['03 04 0A FE 64 00', 31_103_477, 'ozt', true], // 1.00 troy ounce
    ['03 04 0C FE 64 00', 453_592_370, 'lb', true], // 1.00 lb
  ])('%s is %d ug sent in %s, settled: %s', (hex, mass, unit, stable) => {
    expect(decoded(hex)).toEqual({ kind: 'reading', reading: { mass, unit, stable, at: 77, raw: hex } });
  });

  test.each([
    ['03 01 02 00 14 00', 'fault', 'reports a fault'],
    ['03 05 02 FF D2 04', 'under-range', 'below zero'],
    ['03 06 02 FF FF FF', 'over-range', 'more than the scale can weigh'],
    ['03 07 02 FF D2 04', 'fault', 'calibrated'],
    ['03 08 02 FF D2 04', 'fault', 'set to zero again'],
  ])('%s is no weight: %s', (hex, condition, words) => {
    expect(decoded(hex)).toEqual({ kind: 'condition', condition, at: 77, raw: expect.stringContaining(words) });
  });

  test.each([
    ['03 04 05 00 14 00', /taels/],
    ['03 04 08 00 14 00', /tonnes/],
    ['03 04 09 00 14 00', /tons/],
    ['03 00 02 00 14 00', /status 0 /],
    ['03 09 02 00 14 00', /status 9 /],
    ['03 04 00 00 14 00', /unit 0 /],
    ['03 04 0D 00 14 00', /unit 13 /],
    ['03 04 02 F9 14 00', /less than a microgram/],
    ['03 04 02 80 14 00', /10\^-128/],
    ['03 04 02 7F 14 00', /10\^127/],
    ['03 04 03 0A 14 00', /no weight on a scale/],
    ['05 04 02 00 14 00', /report 5 is not the one/],
    ['03 04 02 00 14', /cut short/],
    ['', /cut short/],
    ['03 04 02 00 14 00 01', /too long/],
    ['03 04 02 00 14 00 00 00 01', /too long/], // a wider weight than the layout knows
  ])('%s is refused: %s', (hex, says) => {
    expect(why(hex)).toMatch(says);
  });

  test('zeros behind it are a filled-up buffer, as some systems hand it over', () => {
    expect(decoded('03 04 02 00 14 00 00 00')).toMatchObject({ kind: 'reading', reading: { mass: 20_000_000 } });
  });

  test('a step of one microgram is the smallest', () => {
    expect(decoded('03 04 02 FA 14 00')).toMatchObject({ kind: 'reading', reading: { mass: 20 } });
  });
});

const UNIT_BYTES = new Map<number, Unit>([
  [1, 'mg'],
  [2, 'g'],
  [3, 'kg'],
  [4, 'ct'],
  [6, 'gr'],
  [7, 'dwt'],
  [10, 'ozt'],
  [11, 'oz'],
  [12, 'lb'],
]);

test('whatever bytes come: never thrown, and a weight only in the states stable and moving, of exactly its number', () => {
  const near = fc.tuple(
    fc.constant(3),
    fc.integer({ min: 0, max: 10 }),
    fc.integer({ min: 0, max: 14 }),
    fc.integer({ min: -8, max: 8 }).map((exponent) => exponent & 0xff),
    fc.integer({ min: 0, max: 255 }),
    fc.integer({ min: 0, max: 255 }),
  );
  const any = fc.oneof(
    fc.uint8Array({ maxLength: 80 }),
    near.map((values) => Uint8Array.from(values)),
  );
  let taken = 0;
  fc.assert(
    fc.property(any, (report) => {
      const result = decodeHidReport(report, 1);
      if (result.kind !== 'reading') return;
      taken += 1;
      const [id, status = 0, unit = 0, scaling = 0, low = 0, high = 0] = report;
      expect(id).toBe(3);
      expect([2, 3, 4]).toContain(status);
      expect(result.reading.stable).toBe(status !== 3);
      const { numerator, denominator } = MICROGRAMS_IN[UNIT_BYTES.get(unit) ?? 'kg'];
      const exponent = scaling > 127 ? scaling - 256 : scaling;
      const exact = new Decimal(10)
        .pow(exponent)
        .mul(low + 256 * high)
        .mul(numerator.toString())
        .div(denominator.toString());
      expect(result.reading.unit).toBe(UNIT_BYTES.get(unit));
      expect(exact.minus(result.reading.mass).abs().lte(0.5)).toBe(true);
    }),
    { numRuns: 3000 },
  );
  expect(taken).toBeGreaterThan(100);
});

test('with another layout its places count', () => {
  const layout = {
    ...USUAL_LAYOUT,
    reportId: undefined,
    length: 7,
    unit: { ...USUAL_LAYOUT.unit, byte: 0 },
    status: { ...USUAL_LAYOUT.status, byte: 1 },
    scaling: { ...USUAL_LAYOUT.scaling, byte: 2 },
    weight: { byte: 3, bytes: 4, signed: true } as const,
  };
  expect(decodeHidReport(bytes('02 04 FF FE FF FF FF'), 1, layout)).toMatchObject({ reading: { mass: -200_000 } });
  expect(decodeHidReport(bytes('02 04 FF 00 00 01 00'), 1, layout)).toMatchObject({ reading: { mass: 6_553_600_000 } });
});
