/** When is a scale silent? */
import { isQuietByHabit, type Rhythm } from '../wire/reading.ts';

export interface SpeakingConfig {
  readonly scale: string;
  readonly rhythm: Rhythm;
  readonly linesPerSecond: number;
  /** The scale switches itself off after so long without a change, milliseconds; undefined: never, or not known. */
  readonly sleepsAfterMs?: number | undefined;
}

/**
 * Milliseconds without a line after which a scale counts as silent; undefined when silence is its habit. One that
 * speaks on change may be quiet, but not for longer than it stays switched on.
 */
export function silenceLimit({ rhythm, linesPerSecond, sleepsAfterMs }: SpeakingConfig): number | undefined {
  if (rhythm === 'on-key') return undefined;
  if (isQuietByHabit(rhythm)) return sleepsAfterMs;
  return Math.max(1000, 5000 / linesPerSecond);
}

/** What to say of the silence of a scale that is quiet by habit; null for others, whose silence says nothing. */
export function asleep({ rhythm, scale }: SpeakingConfig): string | null {
  if (!isQuietByHabit(rhythm)) return null;
  return `The ${scale} scale has shown no change for so long that it has switched itself off by now. Switch it on.`;
}

/**
 * Milliseconds after which a scale that speaks on change, and has said that it moves, owes another word: a new figure,
 * or that it has come to rest. undefined where its rhythm promises neither.
 */
export function movingLimit({ rhythm, linesPerSecond }: SpeakingConfig): number | undefined {
  return rhythm === 'on-change' ? Math.max(5000, 20_000 / linesPerSecond) : undefined;
}
