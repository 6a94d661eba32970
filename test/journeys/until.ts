/** Waiting for something to become true, never for a time to pass. */
import { setTimeout as pause } from 'node:timers/promises';

const LOOK_EVERY_MS = 10;

export interface UntilOptions {
  /** Gives up after so long, milliseconds; default 15 s. */
  readonly withinMs?: number | undefined;
  /** What is told beside the failure: the screen, the last lines. */
  readonly seen?: (() => string | Promise<string>) | undefined;
}

/**
 * Waits until `look` gives something.
 * @param what for the failure: `no ${what}`
 * @returns what it gave
 */
export async function until<T>(
  what: string,
  look: () => T | undefined | false | Promise<T | undefined | false>,
  { withinMs = 15_000, seen }: UntilOptions = {},
): Promise<T> {
  const end = performance.now() + withinMs;
  for (;;) {
    const found = await look();
    if (found !== undefined && found !== false) return found;
    if (performance.now() > end) throw new Error(`no ${what} within ${withinMs / 1000} s\n${(await seen?.()) ?? ''}`);
    await pause(LOOK_EVERY_MS);
  }
}
