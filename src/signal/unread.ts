/** Lines that do not fit the profile: what the scale says now is not known, so its last figure must not live on. */
import { isQuietByHabit } from '../wire/reading.ts';
import { type SpeakingConfig, silenceLimit } from './silence.ts';

/** Lines that could not be read since the last good one. */
export interface Unread {
  /** When the first of them came, monotonic milliseconds. */
  readonly since: number;
  readonly lines: number;
}

/** Lines in a row that a scale which speaks all the time may garble while its last figure still counts. */
const GARBLED_LINES = 1;

/**
 * Whether the last figure is still what the scale shows. One that speaks only now and then has said something new by any
 * line; one that speaks all the time garbles one now and then, and says it anew at once.
 */
export function isCurrent(unread: Unread | undefined, { rhythm }: Pick<SpeakingConfig, 'rhythm'>): boolean {
  return unread === undefined || (!isQuietByHabit(rhythm) && unread.lines <= GARBLED_LINES);
}

/** A scale that is quiet by habit may take so long to say a figure again before its unread one is told, milliseconds. */
const UNREAD_MS = 1000;

/** Whether nothing good has come for too long since. */
export function isUnreadForLong(unread: Unread | undefined, at: number, config: SpeakingConfig): boolean {
  if (unread === undefined) return false;
  const limit = isQuietByHabit(config.rhythm) ? UNREAD_MS : (silenceLimit(config) ?? UNREAD_MS);
  return at - unread.since > limit;
}
