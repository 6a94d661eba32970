/** How much of their weight bars lose in drying: learnt from bars that were weighed again, else as the formula states. */
import type { Bar } from '../facts/bars.ts';
import type { Mass } from '../mass/mass.ts';
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

/** So many bars, each at least a day old, are needed before they count in place of the formula (common practice, no source). */
const FEWEST_BARS = 3;
/** A pressed bar hardly loses more than this (common practice, no source): more likely it is another bar. */
const MOST_LOSS = 0.15;

/**
 * The loss of bars of the same kind.
 * @param bars of any batches; each that was weighed again a day after or later tells by its last such weighing
 * @param statedPpm the formula's own figure, which stands until three bars tell; undefined where it has none
 */
export function dryingOf(bars: readonly Bar[], statedPpm: number | undefined): Drying {
  const seen = bars.flatMap(({ net, at, again }) => {
    const last = again.at(-1);
    if (!last || net <= 0) return [];
    const ms = Date.parse(last.at) - Date.parse(at);
    // Of the same day it says nothing of where the drying will end.
    return ms < DAY_MS ? [] : [{ loss: Math.min(0.99, Math.max(0, (net - last.net) / net)), ms }];
  });
  if (seen.length === 0 || (statedPpm !== undefined && seen.length < FEWEST_BARS)) {
    const share = (statedPpm ?? 0) / 1_000_000;
    return { share, upper: share, from: statedPpm === undefined ? 'nothing' : 'formula', bars: 0, days: null };
  }
  const n = seen.length;
  const share = seen.reduce((sum, { loss }) => sum + loss, 0) / n;
  const squares = seen.reduce((sum, { loss }) => sum + (loss - share) ** 2, 0);
  // One bar alone says nothing of how bars differ.
  const margin = n < 2 ? 0 : studentQuantile(CONFIDENCE, n - 1) * Math.sqrt(squares / (n - 1) / n);
  const days = Math.floor(Math.min(...seen.map(({ ms }) => ms)) / DAY_MS);
  return { share, upper: Math.min(0.99, share + margin), from: 'bars', bars: n, days };
}

/** How many bars that were weighed again tell nothing yet: on the day they were made. */
export function tooSoon(bars: readonly Bar[]): number {
  return bars.filter(({ at, again }) => {
    const last = again.at(-1);
    return last !== undefined && Date.parse(last.at) - Date.parse(at) < DAY_MS;
  }).length;
}

/**
 * Why a bar weighed again is more likely another one; undefined where it may be it.
 * @param uncertainty of the weighing now, expanded
 */
export function unlikelyAgain(bar: Pick<Bar, 'net' | 'uncertainty'>, net: Mass, uncertainty: Mass): string | undefined {
  if (net > bar.net + bar.uncertainty + uncertainty) return 'it weighs more than as pressed, and bars do not gain';
  const loss = (bar.net - net) / bar.net;
  return loss > MOST_LOSS ? `it would have lost ${(loss * 100).toFixed(1)} %` : undefined;
}
