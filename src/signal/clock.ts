/** Time, as everything that waits needs it. The core never reads a clock of its own; tests hand in theirs. */
export interface Clock {
  /** Monotonic milliseconds. */
  now(): number;
  setTimeout(run: () => void, ms: number): unknown;
  clearTimeout(timer: unknown): void;
}
