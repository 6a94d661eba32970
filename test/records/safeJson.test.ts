import fc from 'fast-check';
import { expect, test } from 'vitest';
import { safeJson } from '../../src/records/safeJson.ts';

test('hidden characters are escaped', () => {
  expect(safeJson('a\u009b31m\u202e\u{e0041}\u007f\u2028')).toBe('"a\\u009b31m\\u202e\\udb40\\udc41\\u007f\\u2028"');
});

test('a reader gets the same value', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary' }), (text) => {
      const json = safeJson({ text });
      expect(JSON.parse(json)).toEqual({ text });
      expect(json).not.toMatch(/[\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]/);
    }),
    { numRuns: 300 },
  );
});
