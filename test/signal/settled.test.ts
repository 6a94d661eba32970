import { describe, expect, it } from 'vitest';
import { restingSpread, type Sample, type SettlingConfig, settledAt, windowMs } from '../../src/signal/settled.ts';
import { g } from './told.ts';

const bench: SettlingConfig = { d: g(0.1), repeatability: undefined, rhythm: 'continuous', linesPerSecond: 10 };
const onChange: SettlingConfig = { ...bench, rhythm: 'on-change' };

/** Readings a tenth of a second apart, the last one at 1 s. */
const readings = (grams: readonly number[], stable?: boolean): readonly Sample[] =>
  grams.map((each, index) => ({ at: 1000 - 100 * (grams.length - 1 - index), gross: g(each), stable }));

describe('how far readings at rest may lie apart', () => {
  // OIML R 76-1: a weight may be printed once two printed values would differ by no more than one interval.
  it.each([
    { repeatability: undefined, is: 0.1 },
    { repeatability: g(0.02), is: 0.1 },
    { repeatability: g(0.05), is: 0.2 },
    { repeatability: g(0.11), is: 0.5 },
  ])('one interval, or four standard deviations of a noisier scale: $repeatability', ({ repeatability, is }) => {
    expect(restingSpread({ d: g(0.1), repeatability })).toBe(g(is));
  });

  it.each([
    { linesPerSecond: 50, is: 600 },
    { linesPerSecond: 10, is: 600 },
    { linesPerSecond: 5, is: 800 },
    { linesPerSecond: 1, is: 4000 },
  ])('the window has room for four lines: $linesPerSecond a second', ({ linesPerSecond, is }) => {
    expect(windowMs({ linesPerSecond })).toBe(is);
  });
});

describe('a scale that speaks continuously', () => {
  it.each<[string, readonly number[], number | undefined]>([
    ['nothing said', [], undefined],
    ['two readings', [12, 12], undefined],
    ['three readings, but not long enough', [12, 12, 12], undefined],
    ['long enough', [12, 12, 12, 12, 12], 12],
    ['flicker between two figures', [12, 12.1, 12, 12.1, 12, 12.1], 12.05],
    ['flicker over three figures', [12, 12.1, 12.2, 12.1, 12, 12.1], undefined],
    ['a slow pour', [12, 12.1, 12.2, 12.3, 12.4, 12.5], undefined],
    ['what lies before the window does not count', [50, 40, 12, 12, 12, 12, 12, 12], 12],
    ['a negative level', [-30, -30, -30, -30, -30], -30],
  ])('%s', (_, grams, is) => {
    const mean = settledAt(readings(grams), 1000, bench);
    expect(mean).toEqual(is === undefined ? undefined : expect.closeTo(is * 1e6, 0));
  });

  it('creeps: within the spread of a noisy scale, but the later half lies more than an interval off', () => {
    const noisy = { ...bench, repeatability: g(0.1) };
    const creeping = readings([12, 12, 12, 12.3, 12.3, 12.3]);
    expect(settledAt(creeping, 1000, noisy)).toBeUndefined();
    expect(settledAt(readings([12, 12.3, 12, 12.3, 12, 12.3]), 1000, noisy)).toEqual(expect.closeTo(12.15e6, 0));
  });

  it('says that it moves: that counts, whatever the figures look like', () => {
    const still = readings([12, 12, 12, 12, 12, 12], true);
    expect(settledAt(still, 1000, bench)).toBe(g(12));
    for (const index of still.keys()) {
      const once = still.map((each, at) => (at === index ? { ...each, stable: false } : each));
      expect(settledAt(once, 1000, bench), `moving at reading ${index}`).toBeUndefined();
    }
  });
});

describe('a scale that speaks only on change', () => {
  const spoke: readonly Sample[] = [
    { at: 0, gross: g(0), stable: undefined },
    { at: 100, gross: g(7), stable: undefined },
    { at: 200, gross: g(12), stable: undefined },
  ];

  it.each([
    { at: 300, is: undefined },
    { at: 790, is: undefined },
    { at: 800, is: g(12) },
    { at: 60_000, is: g(12) },
  ])('is at rest once its last figure has stood for a window: $at ms', ({ at, is }) => {
    expect(settledAt(spoke, at, onChange)).toBe(is);
  });

  it('is not at rest before it has spoken at all, nor in its first moment', () => {
    expect(settledAt([], 5000, onChange)).toBeUndefined();
    expect(settledAt(spoke.slice(0, 1), 500, onChange)).toBeUndefined();
    expect(settledAt(spoke.slice(0, 1), 600, onChange)).toBe(g(0));
  });

  it('weighs each figure by how long it stood', () => {
    const flicker: readonly Sample[] = [
      { at: 0, gross: g(12), stable: undefined },
      { at: 900, gross: g(12.1), stable: undefined },
    ];
    const mean = settledAt(flicker, 1000, onChange);
    expect(mean).toBeGreaterThan(g(12));
    expect(mean).toBeLessThan(g(12.05));
  });
});
