/** The lag of a scale, learnt from how it answers when a vessel is put on it. */
import type { Mass } from '../mass/mass.ts';
import { medianOf } from './median.ts';
import type { Sample } from './settled.ts';

/** What a scale's lag is taken for before it is known, milliseconds (common practice, no source). */
export const USUAL_LAG_MS = 300;
/** So many steps teach a scale's lag, the latest of at most so many. */
export const LEAST_STEPS = 2;
export const MOST_STEPS = 15;

/** A step is as large as this at least, in intervals: else its tail drowns in the rounding. */
const TELLING_STEP_D = 200;
/** The tail is looked at from half of the step on, when the hand has let go, down to so many intervals. */
const TAIL_FROM = 0.5;
const TAIL_TO_D = 8;
const FEWEST_PAIRS = 2;
const SHORTEST_MS = 20;
const LONGEST_MS = 3000;

/**
 * The time constant of a scale's answer, milliseconds, from readings that end at rest after a step; undefined when they
 * do not tell. What is still missing shrinks by `exp(-t / lag)` (the step response of a first-order system), so each pair
 * of readings in the tail gives `lag = t / ln(missing before / missing after)`; the median of these.
 */
export function lagOfStep(samples: readonly Sample[], d: Mass): number | undefined {
  const last = samples.at(-1);
  const first = samples[0];
  if (!first || !last) return undefined;
  const step = last.gross - first.gross;
  if (Math.abs(step) < TELLING_STEP_D * d) return undefined;
  const from = samples.findLastIndex(({ gross }) => Math.abs(last.gross - gross) > TAIL_FROM * Math.abs(step)) + 1;
  const tail = samples.slice(from).map(({ at, gross }) => ({ at, missing: (last.gross - gross) * Math.sign(step) }));
  const lags: number[] = [];
  for (const [index, after] of tail.entries()) {
    const before = tail[index - 1];
    if (!before || after.missing < TAIL_TO_D * d) continue;
    if (after.missing < before.missing) lags.push((after.at - before.at) / Math.log(before.missing / after.missing));
  }
  if (lags.length < FEWEST_PAIRS) return undefined;
  const lag = Math.round(medianOf(lags));
  return lag >= SHORTEST_MS && lag <= LONGEST_MS ? lag : undefined;
}

/** @param lags of steps, oldest first, milliseconds */
export function learnLag(lags: readonly number[]): number {
  return lags.length < LEAST_STEPS ? USUAL_LAG_MS : Math.round(medianOf(lags.slice(-MOST_STEPS)));
}
