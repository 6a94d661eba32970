/** Repeatable random numbers for simulated scales: the same seed gives the same noise in every run. */
export interface Random {
  /** Evenly spread, from 0 up to but without 1. */
  next(): number;
  /** Normal deviate: mean 0, standard deviation 1. */
  normal(): number;
}

/**
 * A small seeded generator (the public-domain "mulberry32" step, from memory) with normal deviates by the
 * Box-Muller transform.
 * Good enough for the noise of a scale; never for secrets.
 */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  return {
    next,
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
