/** How much of their weight bars lose in drying: learnt from bars that were weighed again, else as the formula states. */
import type { Bar } from '../facts/bars.ts';
import { studentQuantile } from '../stats/student.ts';

export interface Drying {
  /** Share of the weight as pressed, 0 to below 1. */
  readonly share: number;
  /**
   * The same with what is uncertain of it from few bars: the mean loss is below it in 95 of 100 cases. From one bar, or
   * from bars of the same day, at least what the formula states.
   */
  readonly upper: number;
  readonly from: 'bars' | 'formula' | 'nothing';
  /** Bars that it was learnt from. */
  readonly bars: number;
  /** How long the bar that was weighed soonest after had dried, whole days; null unless from bars. */
  readonly days: number | null;
}

const CONFIDENCE = 0.95;
const DAY_MS = 86_400_000;

/**
 * The loss of bars of the same kind.
 * @param bars of any batches; each that was weighed again tells by its last weighing
 * @param statedPpm the formula's own figure; undefined where it has none
 */
export function dryingOf(bars: readonly Bar[], statedPpm: number | undefined): Drying {
  const seen = bars.flatMap(({ net, at, again }) => {
    const last = again.at(-1);
    if (!last || net <= 0) return [];
    return [{ loss: Math.min(0.99, Math.max(0, (net - last.net) / net)), ms: Date.parse(last.at) - Date.parse(at) }];
  });
  if (seen.length === 0) {
    const share = (statedPpm ?? 0) / 1_000_000;
    return { share, upper: share, from: statedPpm === undefined ? 'nothing' : 'formula', bars: 0, days: null };
  }
  const n = seen.length;
  const share = seen.reduce((sum, { loss }) => sum + loss, 0) / n;
  const squares = seen.reduce((sum, { loss }) => sum + (loss - share) ** 2, 0);
  // One bar alone says nothing of how bars differ, and bars of the same day not where the drying will end: neither
  // takes anything off what the formula states.
  const margin = n < 2 ? 0 : studentQuantile(CONFIDENCE, n - 1) * Math.sqrt(squares / (n - 1) / n);
  const days = Math.floor(Math.min(...seen.map(({ ms }) => ms)) / DAY_MS);
  const least = n < 2 || days < 1 ? (statedPpm ?? 0) / 1_000_000 : 0;
  return { share, upper: Math.min(0.99, Math.max(least, share + margin)), from: 'bars', bars: n, days };
}
