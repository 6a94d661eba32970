/** A clock that a test turns by hand. Between two timers, streams and promises get their turn. */
import type { Clock } from '../src/link/clock.ts';

export interface FakeClock extends Clock {
  /** Lets time pass, timer by timer, in order. */
  advance(ms: number): Promise<void>;
  /** Timers not yet run. */
  readonly waiting: number;
}

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

export function createFakeClock(startMs = 0): FakeClock {
  let now = startMs;
  let next = 1;
  const timers = new Map<number, { at: number; run: () => void }>();
  return {
    now: () => now,
    setTimeout(run, ms) {
      const id = next++;
      timers.set(id, { at: now + Math.max(0, ms), run });
      return id;
    },
    clearTimeout(timer) {
      timers.delete(timer as number);
    },
    async advance(ms) {
      const until = now + ms;
      await turn();
      for (;;) {
        const [id, due] = [...timers].sort(([a, x], [b, y]) => x.at - y.at || a - b)[0] ?? [];
        if (id === undefined || due === undefined || due.at > until) break;
        timers.delete(id);
        now = Math.max(now, due.at);
        due.run();
        await turn();
      }
      now = until;
      await turn();
    },
    get waiting() {
      return timers.size;
    },
  };
}
