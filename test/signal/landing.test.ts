import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { learnAfterRun, NO_AFTER_RUN } from '../../src/signal/afterRun.ts';
import { arrivedOf, landingOf } from '../../src/signal/landing.ts';
import { REACTION_MS } from '../../src/signal/reaction.ts';

const G = 1_000_000;

describe('what is in the vessel already', () => {
  // The response of a first-order system to a ramp q t, from rest: q (t - T (1 - exp(-t / T))), and its slope
  // q (1 - exp(-t / T)) (Ogata, "Modern Control Engineering", unit-ramp response of first-order systems; from memory).
  it('is the closed form of a constant flow through a first-order lag, at every moment', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 80, noNaN: true }),
        fc.integer({ min: 50, max: 2000 }),
        fc.double({ min: 0, max: 30, noNaN: true }),
        (gramsPerSecond, lagMs, seconds) => {
          const lag = lagMs / 1000;
          const answered = 1 - Math.exp(-seconds / lag);
          const shown = gramsPerSecond * G * (seconds - lag * answered);
          const slope = gramsPerSecond * G * answered;
          expect(arrivedOf(shown, slope, lagMs) / G).toBeCloseTo(gramsPerSecond * seconds, 6);
        },
      ),
    );
  });

  it('is the closed form of a vessel put on at once: shown S (1 - exp(-t / T))', () => {
    for (const seconds of [0.1, 0.4, 1, 3]) {
      const missing = Math.exp(-seconds / 0.4);
      expect(arrivedOf(250 * G * (1 - missing), (250 * G * missing) / 0.4, 400) / G).toBeCloseTo(250, 6);
    }
  });
});

describe('landing', () => {
  const d = mass(0.1 * G);
  const flowing = { shown: 50 * G, flow: 10 * G, mean: 10 * G, unevenness: 0, runsMs: REACTION_MS, evenness: 1 };

  it('50 g shown, 10 g/s, lag 0.4 s, reaction 0.35 s: 4 g are in that do not show, 3.5 g still flow', () => {
    const landing = landingOf(flowing, { lagMs: 400, afterRun: NO_AFTER_RUN }, d);
    expect(landing.arrived).toBe(54 * G);
    // A stream of which nothing is known is taken to run on for 0.6 s of its flow: 6 g.
    expect(landing.net).toBe((57.5 + 6) * G);
    expect(landing.isKnown).toBe(false);
  });

  it('adds what ran on after earlier stops at such a flow', () => {
    const pour = { flow: 10 * G, arrived: mass(80 * G), briskest: 20 * G };
    const afterRun = learnAfterRun([1, 1.5, 2].map((grams) => ({ ...pour, ended: mass((83.5 + grams) * G) })));
    expect(landingOf(flowing, { lagMs: 400, afterRun }, d).net).toBe((57.5 + 1.5) * G);
  });

  it('of single pieces with gaps between counts only what is in', () => {
    const pieces = { ...flowing, mean: 4 * G, unevenness: 6 * G };
    const landing = landingOf(pieces, { lagMs: 400, afterRun: NO_AFTER_RUN }, d);
    expect(landing.net).toBe(landing.arrived);
    expect(landing.arrived).toBe(54 * G);
  });

  it('counts nothing on while something is taken out', () => {
    const landing = landingOf({ ...flowing, flow: -2 * G, mean: -2 * G }, { lagMs: 400, afterRun: NO_AFTER_RUN }, d);
    expect(landing.net).toBe(50 * G - 0.8 * G);
  });

  it('is in more doubt the faster it flows, and while the ingredient is not known', () => {
    const habit = { lagMs: 400, afterRun: NO_AFTER_RUN };
    const [slow, fast] = [1, 20].map((each) => landingOf({ ...flowing, flow: each * G, mean: each * G }, habit, d));
    expect(fast?.doubt).toBeGreaterThan(slow?.doubt ?? Number.NaN);
    expect(fast?.wholeDoubt).toBeGreaterThan(fast?.doubt ?? Number.NaN);
  });
});
