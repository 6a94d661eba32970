/** The process's own clock, for all that waits. */
import type { Clock } from '../signal/clock.ts';

export type { Clock } from '../signal/clock.ts';

export const realClock: Clock = {
  now: () => performance.now(),
  setTimeout: (run, ms) => setTimeout(run, ms),
  clearTimeout: (timer) => clearTimeout(timer as NodeJS.Timeout),
};
