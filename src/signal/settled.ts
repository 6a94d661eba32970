/** Is a pan at rest? Judged from the spread and the slope of the latest readings, and the scale's own flag. */
import type { Mass } from '../mass/mass.ts';
import type { Rhythm } from '../wire/reading.ts';

export interface Sample {
  /** Monotonic milliseconds. */
  readonly at: number;
  readonly gross: Mass;
  /** The scale's own word; undefined when it has none. */
  readonly stable: boolean | undefined;
}

/**
 * Readings kept of the last moments. No scale sends so many; whatever floods the line with more has no rest and no flow,
 * and takes no more time or memory.
 */
export const MOST_SAMPLES = 2000;

export interface SettlingConfig {
  readonly d: Mass;
  readonly repeatability: Mass | undefined;
  readonly rhythm: Rhythm;
  readonly linesPerSecond: number;
}

/** Length of the settling window, milliseconds: time for at least four lines, and never under 0.6 s. */
export function windowMs({ linesPerSecond }: Pick<SettlingConfig, 'linesPerSecond'>): number {
  return Math.max(600, 4000 / linesPerSecond);
}

/** A window with fewer readings says nothing. */
const FEWEST_READINGS = 3;
/** So many lines must be missing before a scale counts as quiet. */
const QUIET_LINES = 2.5;
/** A window must reach back over at least this share of its length. */
const LEAST_COVER = 0.7;

/**
 * How far readings of a resting pan may lie apart: two adjacent values (OIML R 76-1 on printing a weight), or four
 * standard deviations of a scale that is known to be noisier.
 */
export function restingSpread({ d, repeatability }: Pick<SettlingConfig, 'd' | 'repeatability'>): number {
  return Math.max(1, Math.ceil((4 * (repeatability ?? 0)) / d)) * d;
}

/**
 * The mean reading of a pan at rest, in micrograms (not rounded to d); undefined while it moves or is not known.
 * @param at the time now; a scale that speaks only on change shows its last figure until it says another
 */
export function settledAt(window: readonly Sample[], at: number, config: SettlingConfig): number | undefined {
  const last = window.at(-1);
  if (last === undefined || last.stable === false) return undefined;
  const span = windowMs(config);
  // One that speaks only while at rest moves as soon as it is quiet.
  if (config.rhythm === 'while-settled' && at - last.at > QUIET_LINES * (1000 / config.linesPerSecond))
    return undefined;
  const holds = config.rhythm === 'on-change' || config.rhythm === 'on-settled';
  const samples = holds ? held(window, at, span) : window.filter((sample) => sample.at > at - span);
  const first = samples[0];
  if (first === undefined || samples.length < FEWEST_READINGS) return undefined;
  if (last.at - first.at < span * LEAST_COVER - 1000 / config.linesPerSecond && !holds) {
    return undefined;
  }
  if (samples.some((sample) => sample.stable === false)) return undefined;
  const grosses = samples.map((sample) => sample.gross);
  if (Math.max(...grosses) - Math.min(...grosses) > restingSpread(config)) return undefined;
  const middle = Math.floor(grosses.length / 2);
  const drift = Math.abs(meanOf(grosses.slice(-middle)) - meanOf(grosses.slice(0, middle)));
  return drift > config.d ? undefined : meanOf(grosses);
}

/** Instants at which a figure that holds until the next is looked at. */
const LOOKS = 8;

/** What a display that holds its figure showed at evenly spaced instants; empty before it has held for a window. */
function held(window: readonly Sample[], at: number, span: number): readonly Sample[] {
  const looks: Sample[] = [];
  for (let look = 0; look <= LOOKS; look++) {
    const instant = at - span + (span * look) / LOOKS;
    const shown = window.findLast((sample) => sample.at <= instant);
    if (shown === undefined) return [];
    looks.push(shown);
  }
  return looks;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
