/**
 * A clock that runs faster than the wall's: time jumps from timer to timer, with short real pauses in between so that
 * an onlooker can follow. All that waits in the hands-off demo waits on it.
 */
import type { Clock } from '../../signal/clock.ts';

export interface PacedClock extends Clock {
  /** Runs until the work is done. @param speed simulated seconds per real second; Infinity: as fast as it can */
  run<T>(work: Promise<T>, speed: number): Promise<T>;
}

interface Timer {
  readonly due: number;
  readonly order: number;
  readonly run: () => void;
}

/** Real pauses shorter than this are saved up. */
const LEAST_PAUSE_MS = 15;

export function createPacedClock(): PacedClock {
  let now = 0;
  let order = 0;
  const timers = new Set<Timer>();

  const next = (): Timer | undefined => {
    let first: Timer | undefined;
    for (const timer of timers) {
      if (first === undefined || timer.due < first.due || (timer.due === first.due && timer.order < first.order)) {
        first = timer;
      }
    }
    return first;
  };

  return {
    now: () => now,
    setTimeout(run, ms) {
      order += 1;
      const timer = { due: now + Math.max(0, ms), order, run };
      timers.add(timer);
      return timer;
    },
    clearTimeout(timer) {
      timers.delete(timer as Timer);
    },
    async run(work, speed) {
      let done = false;
      const end = () => {
        done = true;
      };
      work.then(end, end);
      let owed = 0;
      while (!done) {
        await new Promise(setImmediate); // lets promises and writes finish before time goes on
        const timer = next();
        if (timer === undefined) continue;
        timers.delete(timer);
        owed += (timer.due - now) / speed;
        now = Math.max(now, timer.due);
        timer.run();
        if (owed >= LEAST_PAUSE_MS) {
          const pause = owed;
          owed = 0;
          await new Promise((resolve) => setTimeout(resolve, pause));
        }
      }
      return work;
    },
  };
}
