/** What this process holds: memory in use once all that can go is gone, and what would go on by itself. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

const turn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** Bytes of the heap in use after a full collection. */
export async function heapNow(): Promise<number> {
  for (let round = 0; round < 3; round++) {
    await turn(); // what finishers hold goes with the next round
    collect();
  }
  return process.memoryUsage().heapUsed;
}

/** Handles and timers of the process by kind, and listeners of the process and its streams. */
export function goingOn(): Readonly<Record<string, number>> {
  // A standard stream is opened when it is first asked for: before anything is counted.
  const emitters = { process, stdin: process.stdin, stdout: process.stdout, stderr: process.stderr };
  const counts: Record<string, number> = {};
  for (const kind of process.getActiveResourcesInfo()) counts[kind] = (counts[kind] ?? 0) + 1;
  for (const [name, emitter] of Object.entries(emitters)) {
    for (const event of emitter.eventNames()) {
      counts[`${name} on ${String(event)}`] = emitter.listenerCount(event);
    }
  }
  return counts;
}
