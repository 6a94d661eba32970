/** How the time of a step reads. */
import type { Timer } from './view.ts';

/** A time in large figures, with the words for it. */
export interface StepTime {
  readonly text: string;
  readonly caption: string;
  /** The set time is over. */
  readonly over: boolean;
}

/** Minutes and seconds: `1:30`, `75:00`. @param ms not negative */
export function printTime(ms: number): string {
  const seconds = Math.floor(ms / 1000);
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

/** What is left of a set time, counted down to 0:00 and then up again; without a set time, what has passed. */
export function stepTime({ startedAt, forMs }: Timer, now: number): StepTime {
  const passed = Math.max(0, now - startedAt);
  if (forMs === undefined) return { text: printTime(passed), caption: 'so far', over: false };
  // Rounded up, so that 0:00 is shown when the time is over and not a second before.
  if (passed < forMs)
    return { text: printTime(Math.ceil((forMs - passed) / 1000) * 1000), caption: 'left', over: false };
  return { text: printTime(passed - forMs), caption: 'past the time', over: true };
}

/** Milliseconds until the text changes next: 1 to 1000. */
export function nextTick({ startedAt, forMs }: Timer, now: number): number {
  const phase = (((now - startedAt - (forMs ?? 0)) % 1000) + 1000) % 1000;
  return Math.max(1, Math.ceil(1000 - phase));
}
