/** How fast the reading changes: a slope that one wild reading can't turn. */
import type { Sample } from './settled.ts';

/** So many readings, evenly spread, tell the slope; all pairs of more would take too long. */
const MOST_READINGS = 60;

/** How far back the slope looks, milliseconds. */
const LOOK_BACK_MS = 500;

/**
 * The flow over the last half second in micrograms per second, negative while something is taken away: the median of
 * the slopes of all pairs of readings (Theil-Sen estimator). 0 with fewer than three readings.
 */
export function flowOf(window: readonly Sample[]): number {
  const last = window.at(-1);
  if (last === undefined) return 0;
  const samples = thinned(window.filter((sample) => sample.at >= last.at - LOOK_BACK_MS));
  if (samples.length < 3) return 0;
  const slopes: number[] = [];
  for (const [index, later] of samples.entries()) {
    for (const earlier of samples.slice(0, index)) {
      if (later.at > earlier.at) slopes.push((later.gross - earlier.gross) / ((later.at - earlier.at) / 1000));
    }
  }
  slopes.sort((a, b) => a - b);
  const middle = slopes.length >> 1;
  const upper = slopes[middle];
  if (upper === undefined) return 0;
  return slopes.length % 2 === 1 ? upper : (upper + (slopes[middle - 1] ?? upper)) / 2;
}

function thinned(samples: readonly Sample[]): readonly Sample[] {
  const every = Math.ceil(samples.length / MOST_READINGS);
  // From the end, so that the latest always counts.
  return every <= 1 ? samples : samples.filter((_, index) => (samples.length - 1 - index) % every === 0);
}
