import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { LEAST_STEPS, lagOfStep, learnLag, USUAL_LAG_MS } from '../../src/signal/lag.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

const G = 1_000_000;
const d = mass(0.1 * G);

/** A step of so many grams through a first-order lag, ten readings a second: S (1 - exp(-t / lag)), rounded to d. */
const step = (grams: number, lagMs: number) =>
  Array.from({ length: 90 }, (_, index) => {
    const shown = grams * G * (1 - Math.exp((-index * 100) / lagMs));
    return { at: 100 * index, gross: mass(Math.round(shown / d) * d), stable: undefined };
  });

describe('the lag of a scale', () => {
  it.each([120, 250, 400, 700])('is read from the step response: %i ms', (lagMs) => {
    expect(lagOfStep(step(296.4, lagMs), d)).toSatisfy((lag: number) => Math.abs(lag - lagMs) <= 0.03 * lagMs);
    expect(lagOfStep(step(-296.4, lagMs), d)).toSatisfy((lag: number) => Math.abs(lag - lagMs) <= 0.03 * lagMs);
  });

  it('is not read from a small step, from too short a tail, or from rest', () => {
    expect(lagOfStep(step(12, 400), d)).toBeUndefined();
    expect(lagOfStep(step(296.4, 10), d)).toBeUndefined();
    expect(lagOfStep([], d)).toBeUndefined();
    expect(lagOfStep(Array(20).fill({ at: 5, gross: mass(3 * G), stable: true }), d)).toBeUndefined();
  });

  it('of a trembling simulated scale is found within a tenth', () => {
    const settings = { capacity: mass(5000 * G), d, noise: mass(0.03 * G), lagMs: 350 };
    const lags = [1, 2, 3, 4, 5].map((seed) => {
      const loadAt = (at: number) => mass(at < 1000 ? 0 : 200 * G);
      const shown = createInstrument(settings, loadAt, seededRandom(seed)).advance(6000);
      const samples = shown.map(({ at, number }) => ({
        at,
        gross: mass(Number(number.digits) * 10 ** (6 - number.scale)),
        stable: undefined,
      }));
      return lagOfStep(samples.slice(5), d) ?? Number.NaN;
    });
    expect(Math.abs(learnLag(lags) - 350)).toBeLessThan(35);
  });

  it('is the median of several, and the usual one before', () => {
    expect(learnLag([])).toBe(USUAL_LAG_MS);
    expect(learnLag(Array(LEAST_STEPS - 1).fill(900))).toBe(USUAL_LAG_MS);
    expect(learnLag([400, 410, 2500])).toBe(410);
  });
});
