/** Time as the links need it; tests hand in a clock of their own. */
export interface Clock {
  /** Monotonic milliseconds. */
  now(): number;
  setTimeout(run: () => void, ms: number): unknown;
  clearTimeout(timer: unknown): void;
}

/** The process's own monotonic clock. */
export const realClock: Clock = {
  now: () => performance.now(),
  setTimeout: (run, ms) => setTimeout(run, ms),
  clearTimeout: (timer) => clearTimeout(timer as NodeJS.Timeout),
};
