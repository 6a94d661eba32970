/** Turns a clock until something has come to its end. */
import type { FakeClock } from '../fakeClock.ts';

/** @param mostMs it must have ended by then, on that clock */
export async function finish<T>(clock: FakeClock, running: Promise<T>, mostMs = 3_600_000): Promise<T> {
  let ended = false;
  const watched = running.finally(() => {
    ended = true;
  });
  watched.catch(() => {});
  for (let passed = 0; !ended && passed < mostMs; passed += 500) await clock.advance(500);
  if (!ended) throw new Error(`it has not ended within ${mostMs / 1000} s of its clock`);
  return watched;
}
