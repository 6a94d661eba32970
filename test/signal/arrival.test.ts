/** How a reading came to its level: in a tail, or stopped in full stride. */
import { describe, expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { arrivalAt, hasTail, isAbrupt } from '../../src/signal/arrival.ts';

const D = mass(10_000);

/** Readings in intervals, the last five standing still. */
function arrivalOf(...intervals: readonly number[]) {
  const last = intervals.at(-1) ?? 0;
  const readings = [...intervals, last, last, last, last];
  const samples = readings.map((gross, index) => ({ at: index * 25, gross: mass(gross * D), stable: undefined }));
  const arrival = arrivalAt(samples, mass(last * D), D);
  if (!arrival) throw new Error('no arrival');
  return arrival;
}

describe('how a reading came to its level', () => {
  test.each([
    ['in ever smaller steps', [0, 0, 540, 1130, 1386, 1497, 1546, 1567, 1576, 1580, 1583]],
    ['in steps that end as small as its trembling', [0, 0, 2245, 4754, 5976, 6172, 6300, 6314, 6315, 6316, 6317, 6318]],
    ['in steps that end with a figure said twice', [0, 0, 2245, 4754, 5976, 6172, 6300, 6314, 6316, 6316, 6318]],
  ])('a tail: %s', (_title, readings) => {
    const arrival = arrivalOf(...readings);
    expect(hasTail(arrival, D)).toBe(true);
    expect(isAbrupt(arrival, D)).toBe(false);
  });

  test('in full stride: the last step is as large as those before', () => {
    const arrival = arrivalOf(1943, 1968, 1996, 2026, 2057, 2089, 2122, 2154);
    expect(hasTail(arrival, D)).toBe(false);
    expect(isAbrupt(arrival, D)).toBe(true);
  });

  test('in the middle of a tail: a lump was dropped in, and the display stands still on the way to it', () => {
    // An answer with a time constant of 30 ms, read each 25 ms, to 20 000 intervals more; it hangs where 1600 are to come.
    const towards = (readings: number) => Math.round(2000 + 20_000 * (1 - Math.exp((-25 * readings) / 30)));
    const arrival = arrivalOf(2000, 2000, towards(1), towards(2), towards(3));
    expect(isAbrupt(arrival, D)).toBe(true);
    expect(hasTail(arrival, D)).toBe(false);
    // It goes on to its end: that is a tail.
    const whole = arrivalOf(2000, 2000, ...Array.from({ length: 13 }, (_, index) => towards(index + 1)));
    expect([isAbrupt(whole, D), hasTail(whole, D)]).toEqual([false, true]);
  });

  test('in a flow that was a little slower in its last reading: a tail would still have gone on', () => {
    // Without an even flow the last step may be two thirds of those before by chance; 14 intervals, and then none.
    expect(isAbrupt(arrivalOf(3509, 3529, 3545, 3564, 3584, 3605, 3619), D)).toBe(true);
  });

  test('a hand that sets a load down slowly makes no tail', () => {
    expect(hasTail(arrivalOf(0, 0, 300, 640, 970, 1300, 1496, 1500), D)).toBe(false);
  });

  test.each([
    ['one before', [1943, 1943, 1968, 1998, 2028, 2058, 2118, 2148]],
    ['two before', [1943, 1943, 1968, 1998, 2028, 2088, 2118, 2148]],
  ])('in full stride, and a line was lost %s', (_title, readings) => {
    expect(isAbrupt(arrivalOf(...readings), D)).toBe(true);
  });

  test('a pinch in two steps, the first of them cut short, is no stop in full stride', () => {
    expect(isAbrupt(arrivalOf(1943, 1943, 1949, 1969, 1979), D)).toBe(false);
  });

  test('trembling about a level is no tail', () => {
    expect(hasTail(arrivalOf(6316, 6316, 6316, 6316, 6316, 6318), D)).toBe(false);
  });

  test('what stood at the level all the time did not arrive', () => {
    const samples = [0, 1, 2].map((index) => ({ at: index, gross: mass(0), stable: undefined }));
    expect(arrivalAt(samples, mass(0), D)).toBeUndefined();
  });
});
