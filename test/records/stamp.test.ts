import fc from 'fast-check';
import { afterEach, expect, test } from 'vitest';
import { stamp } from '../../src/records/stamp.ts';

const zone = process.env.TZ;
afterEach(() => {
  if (zone === undefined) delete process.env.TZ;
  else process.env.TZ = zone;
});

const instant = new Date('2026-11-25T09:00:23.120Z');

test.each([
  [60, '2026-11-25T10:00:23.120+01:00'],
  [0, '2026-11-25T09:00:23.120+00:00'],
  [-480, '2026-11-25T01:00:23.120-08:00'],
  [-210, '2026-11-25T05:30:23.120-03:30'],
  [345, '2026-11-25T14:45:23.120+05:45'],
  [840, '2026-11-25T23:00:23.120+14:00'],
  [-720, '2026-11-24T21:00:23.120-12:00'],
])('an offset of %i minutes', (offset, text) => {
  expect(stamp(instant, offset)).toBe(text);
});

// Offsets of the IANA time zone database; the days around the change of clocks in spring and autumn 2026.
test.each([
  ['UTC', '2026-11-25T09:00:23.120Z', '2026-11-25T09:00:23.120+00:00'],
  ['Europe/Vienna', '2026-11-25T09:00:23.120Z', '2026-11-25T10:00:23.120+01:00'],
  ['Europe/Vienna', '2026-03-29T00:59:59.999Z', '2026-03-29T01:59:59.999+01:00'],
  ['Europe/Vienna', '2026-03-29T01:00:00.000Z', '2026-03-29T03:00:00.000+02:00'],
  ['Europe/Vienna', '2026-10-25T00:30:00.000Z', '2026-10-25T02:30:00.000+02:00'],
  ['Europe/Vienna', '2026-10-25T01:30:00.000Z', '2026-10-25T02:30:00.000+01:00'],
  ['America/St_Johns', '2026-11-25T09:00:23.120Z', '2026-11-25T05:30:23.120-03:30'],
  ['Asia/Kathmandu', '2026-11-25T09:00:23.120Z', '2026-11-25T14:45:23.120+05:45'],
])('the machine in %s', (tz, utc, text) => {
  process.env.TZ = tz;
  expect(stamp(new Date(utc))).toBe(text);
});

test('whatever the offset, it names the same instant', () => {
  const date = fc.date({ min: new Date('1000-01-01'), max: new Date('9998-12-31'), noInvalidDate: true });
  fc.assert(
    fc.property(date, fc.integer({ min: -12 * 60, max: 14 * 60 }), (when, offset) => {
      expect(new Date(stamp(when, offset)).getTime()).toBe(when.getTime());
    }),
  );
});

test('a date that is none is refused', () => {
  expect(() => stamp(new Date(Number.NaN), 0)).toThrow(RangeError);
  expect(() => stamp(new Date('+012026-01-01T00:00:00.000Z'), 0)).toThrow(RangeError);
});
