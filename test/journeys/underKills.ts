/** A batch weighed to its end by a maker who goes on unmoved, while the program is killed under her hands. */
import { watch } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import type { Random } from '../../src/simulate/seededRandom.ts';
import type { Journey } from './journey.ts';
import type { SeenProgram } from './seenProgram.ts';

/** A kill comes after at most so long, or after so many writes of the log, whichever is drawn. */
const LONGEST_MS = 4000;
const MOST_WRITES = 4;
/** Where nothing is written for so long, the kill comes anyway. */
const NO_WRITE_MS = 6000;

export interface Killed {
  /** Kills that hit a running program. */
  readonly kills: number;
  /** Of these, the ones that came at a write of the log. */
  readonly atWrites: number;
}

/**
 * @param formula its id
 * @param kills how many at most; fewer where the batch is done before
 */
export async function weighUnderKills(
  { bench, maker, start }: Pick<Journey, 'bench' | 'maker' | 'start'>,
  formula: string,
  kills: number,
  random: Random,
): Promise<Killed> {
  const isEnded = () => (bench.state()?.ended ?? 'open') !== 'open';
  let program: SeenProgram = start(['weigh', formula]);
  let done = 0;
  let atWrites = 0;
  let isOver = false;
  let failure: unknown;
  const killer = async (): Promise<void> => {
    while (done < kills && !isOver) {
      const atWrite = random.next() < 0.5;
      await (atWrite
        ? nextWrite(bench.folder, 1 + Math.floor(random.next() * MOST_WRITES))
        : pause(random.next() * LONGEST_MS));
      if (isOver || isEnded() || program.hasExited) break;
      await program.kill();
      done += 1;
      if (atWrite) atWrites += 1;
      if (isEnded()) break;
      program = start(bench.state() === undefined ? ['weigh', formula] : ['resume']);
    }
  };
  const killing = killer().catch((error: unknown) => {
    failure = error;
  });
  for (let before = done; ; before = done) {
    try {
      await maker.work(isEnded);
      break;
    } catch (error) {
      // What she waited for may have died with the program: then she looks again, and goes on.
      if (isEnded()) break;
      if (done === before) throw error;
    }
  }
  isOver = true;
  await killing;
  if (failure !== undefined) throw failure;
  if (!program.hasExited) {
    await program.waitForText('DONE').catch(() => undefined); // unless it was killed right then
    program.press('enter');
    await program.exited;
  }
  return { kills: done, atWrites };
}

/** Waits until the log's journal was written so many times: the next kill falls into a write, its sync, or right after. */
async function nextWrite(folder: string, count: number): Promise<void> {
  const given = new AbortController();
  const watching = new Promise<void>((resolve) => {
    let seen = 0;
    const watcher = watch(folder, { signal: given.signal }, (_, name) => {
      if (name !== 'batches.db-wal') return;
      seen += 1;
      if (seen >= count) resolve();
    });
    watcher.on('error', () => resolve());
  });
  try {
    await Promise.race([watching, pause(NO_WRITE_MS, undefined, { signal: given.signal }).catch(() => undefined)]);
  } finally {
    given.abort();
  }
}
