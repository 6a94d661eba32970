/** A clock that jumps from timer to timer, and knows which timers are still to come. */
import { createPacedClock, type PacedClock } from '../../src/cli/demo/pacedClock.ts';

export interface CountedClock extends PacedClock {
  /** Timers that have neither run nor been called off. */
  readonly waiting: number;
}

export function createCountedClock(): CountedClock {
  const clock = createPacedClock();
  const waiting = new Set<unknown>();
  return {
    ...clock,
    setTimeout(run, ms) {
      const timer = clock.setTimeout(() => {
        waiting.delete(timer);
        run();
      }, ms);
      waiting.add(timer);
      return timer;
    },
    clearTimeout(timer) {
      waiting.delete(timer);
      clock.clearTimeout(timer);
    },
    get waiting() {
      return waiting.size;
    },
  };
}
