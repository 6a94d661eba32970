import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { evennessOf, type Grain, NO_GRAIN, partsOf, stepGrain, WINDOW_MS } from '../../src/signal/grain.ts';

const G = 1_000_000;

/** The grain of what is shown ten times a second, by a function of the seconds. */
function grainOf(shownAt: (seconds: number) => number, seconds: number): Grain {
  const samples = Array.from({ length: 10 * seconds + 1 }, (_, tenth) => {
    return { at: 100 * tenth, gross: mass(Math.round(10 * shownAt(tenth / 10)) * (G / 10)), stable: undefined };
  });
  return samples.reduce((grain, { at }) => {
    const window = samples.filter((each) => each.at > at - WINDOW_MS && each.at <= at);
    return stepGrain(grain, partsOf(window));
  }, NO_GRAIN);
}

describe('grain', () => {
  it('the parts of a flow: 1, 3 and 2 g/s have a mean of 2, a deviation of 1 and a bend of 3 / sqrt(6)', () => {
    const shown = [0, 0.5, 2, 3];
    const window = shown.map((net, index) => ({ at: 500 * index, gross: mass(net * G), stable: undefined }));
    const { mean, unevenness, bend } = partsOf(window);
    expect([mean / G, unevenness / G]).toEqual([2, 1]);
    expect(bend / G).toBeCloseTo(3 / Math.sqrt(6), 9);
  });

  it('an even stream is one, also while it grows or shrinks steadily', () => {
    expect(evennessOf(grainOf((s) => 5 * s, 10))).toBe(1);
    expect(evennessOf(grainOf((s) => 8 * s - 0.3 * s * s, 10))).toBe(1);
  });

  it('lumps are pieces, at once or after the lag of a scale', () => {
    const lumps = (s: number) => 4 * Math.floor(s / 0.7);
    expect(evennessOf(grainOf(lumps, 10))).toBe(0);
    const lagged = (s: number) => {
      const since = s % 0.7;
      return lumps(s) - 4 * Math.exp(-since / 0.3) * (s < 0.7 ? 0 : 1);
    };
    expect(evennessOf(grainOf(lagged, 10))).toBeLessThan(0.3);
  });

  it('before anything is seen it is more a stream than not, and a falling number tells nothing', () => {
    expect(evennessOf(NO_GRAIN)).toBeGreaterThan(0.5);
    expect(grainOf((s) => 50 - 5 * s, 8)).toEqual(NO_GRAIN);
    expect(partsOf([])).toEqual({ mean: 0, unevenness: 0, bend: 0 });
  });
});
