import fc from 'fast-check';
import { expect, test } from 'vitest';
import { isChecked, looksLikeGs1, readGs1, SEPARATOR } from '../../src/stock/gs1.ts';
import { g } from '../weighing/samplePlan.ts';

const read = (text: string, year = 2026) => {
  const found = readGs1(text, year);
  if (!found.ok) throw new Error(found.why);
  return found.label;
};

// Identifiers, forms and lengths: GS1 General Specifications and GS1 Syntax Dictionary. The scan is put together by
// their rules; its check digit was worked out by hand (3 x 0 + 9 + 3 x 5 + ... = 78, and 2 makes 80).
const scan = [']d2', '0109506000134352', `10LOT-7A${SEPARATOR}`, '17270300', '3103000500'].join('');

test('a whole scan: number, lot, last day and net weight', () => {
  expect(read(scan)).toMatchObject({
    gtin: '09506000134352',
    lot: 'LOT-7A',
    expires: '2027-03-31',
    net: g(500),
    count: undefined,
  });
});

test('the same typed from under the bars, sent by other symbols, with a separator that text cleaning left visible', () => {
  const typed = '(01)09506000134352(10)LOT-7A(17)270300(3103)000500';
  expect(read(typed)).toEqual(read(scan));
  for (const start of [']C1', ']Q3', ']e0', ']J1', '', SEPARATOR])
    expect(read(start + scan.slice(3))).toEqual(read(scan));
  expect(read(scan.replace(SEPARATOR, '␝'))).toEqual(read(scan));
});

test('fixed lengths need no separator, and bear one; the last element needs none', () => {
  expect(read(`17270331${SEPARATOR}10A1`)).toMatchObject({ expires: '2027-03-31', lot: 'A1' });
  expect(read('1127033110B2')).toMatchObject({ lot: 'B2', expires: undefined });
  expect(read(`3712${SEPARATOR}10B2`)).toMatchObject({ lot: 'B2', count: 12 });
  // Unknown or unused ones are passed over: 240 runs up to its separator, 8005 too.
  expect(read(`240ARTICLE-9${SEPARATOR}10C3`)).toMatchObject({ lot: 'C3' });
  expect(read(`8005001250${SEPARATOR}10C3`)).toMatchObject({ lot: 'C3' });
});

test('net weights in kilograms, pounds and troy ounces, by their decimals (NIST Handbook 44, appendix C: 1 lb = 453.59237 g)', () => {
  expect(read('3100000012').net).toBe(g(12_000));
  expect(read('3105012345').net).toBe(g(123.45));
  expect(read('3202000150').net).toBe(Math.round(1.5 * 453.59237 * 1e6));
  expect(read('3561000010').net).toBe(Math.round(31.1034768 * 1e6));
  // 357n is a net volume in fluid ounces: no weight.
  expect(read('3570000010').net).toBeUndefined();
});

test('best before counts as the last day where no expiry is given; expiry comes first', () => {
  expect(read('15270101').expires).toBe('2027-01-01');
  expect(read('1527010117270601').expires).toBe('2027-06-01');
});

// From memory: more than 50 years ahead is the last century, 50 or more behind is the next.
test('the century of a year of two digits', () => {
  expect(read('17760101', 2026).expires).toBe('2076-01-01');
  expect(read('17770101', 2026).expires).toBe('1977-01-01');
  expect(read('17100101', 2060).expires).toBe('2110-01-01');
  expect(read('17110101', 2060).expires).toBe('2011-01-01');
});

test('every single wrong digit of a number is found (mod 10 with weights 3 and 1 finds them all)', () => {
  fc.assert(
    fc.property(fc.nat(13), fc.integer({ min: 1, max: 9 }), (at, by) => {
      const digits = [...'09506000134352'].map(Number);
      digits[at] = ((digits[at] ?? 0) + by) % 10;
      expect(isChecked(digits.join(''))).toBe(false);
    }),
  );
  expect(isChecked('09506000134352')).toBe(true);
});

test.each([
  ['nothing', ''],
  ['only a mark', ']C1'],
  ['a sentence', 'lavender oil'],
  ['cut off in the middle', ']C101095060001343'],
  ['a wrong check digit', '0109506000134353'],
  ['no such month', '17271301'],
  ['no such day', '17270230'],
  ['an empty lot', `10${SEPARATOR}17270101`],
  ['a lot with a blank', '10A B'],
  ['a separator that the scanner left out', '10LOT-7A172703003103000500XX'],
  ['the same twice, not alike', `10A${SEPARATOR}10B`],
  ['letters in a weight', '31030005AB'],
  ['far too long', `10${'A'.repeat(500)}`],
])('%s is told in a sentence, and nothing of it is used', (_, text) => {
  const found = readGs1(text, 2026);
  expect(found.ok).toBe(false);
  expect(found.ok ? '' : found.why).toMatch(/^[A-Z].*\.$/);
});

const lotText = fc.stringMatching(/^[A-Z0-9_.\-/]{1,20}$/);
const element = fc.oneof(
  lotText.map((lot) => ({ ai: '10', value: lot, ends: true })),
  fc.constant({ ai: '01', value: '09506000134352', ends: false }),
  fc
    .tuple(fc.integer({ min: 27, max: 70 }), fc.integer({ min: 1, max: 12 }), fc.integer({ min: 0, max: 28 }))
    .map((ymd) => {
      return { ai: '17', value: ymd.map((n) => String(n).padStart(2, '0')).join(''), ends: false };
    }),
  fc.nat(999_999).map((n) => ({ ai: '3103', value: String(n).padStart(6, '0'), ends: false })),
  fc.nat(99_999_999).map((n) => ({ ai: '37', value: String(n), ends: true })),
);

test('whatever the order, what was put into a scan comes out of it; any other text gives a sentence, never a fault', () => {
  fc.assert(
    fc.property(fc.uniqueArray(element, { selector: ({ ai }) => ai, minLength: 1 }), (elements) => {
      const text = elements.map(({ ai, value, ends }) => ai + value + (ends ? SEPARATOR : '')).join('');
      expect(read(`]C1${text}`).elements).toEqual(elements.map(({ ai, value }) => ({ ai, value })));
      expect(read(elements.map(({ ai, value }) => `(${ai})${value}`).join('')).elements).toHaveLength(elements.length);
    }),
  );
  fc.assert(fc.property(fc.string({ unit: 'binary' }), (text) => void readGs1(text, 2026)));
});

test('what looks like a label is told from keys and plain codes', () => {
  for (const text of [scan, '(10)A', `10A${SEPARATOR}`]) expect(looksLikeGs1(text)).toBe(true);
  for (const text of ['GL-30', 'q', '12.5', '']) expect(looksLikeGs1(text)).toBe(false);
});
