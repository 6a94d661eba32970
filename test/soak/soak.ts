/** Batch after batch in one process, and what is left of them. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Front, FrontInput } from '../../src/cli/weigh/workbench.ts';
import { openSoakLog, soakBatch } from './batch.ts';
import { type CountedClock, createCountedClock } from './countedClock.ts';
import { goingOn, heapNow } from './held.ts';

export interface SoakSettings {
  /** Idle time over each draw, minutes, batch by batch. The first ones warm up. */
  readonly idleMinutes: readonly number[];
  /** Batches without idle time follow until so much of the bench's time has passed, hours. */
  readonly atLeastHours?: number;
  /** Batches before the first measurement. */
  readonly warmUp: number;
  readonly openFront: (input: FrontInput, clock: CountedClock) => Front;
  readonly say?: (line: string) => void;
}

export interface SoakReport {
  readonly hours: number;
  readonly readings: number;
  readonly draws: number;
  readonly undone: number;
  readonly held: number;
  readonly pulls: number;
  /** Heap in use after warm-up and after each later batch, bytes. */
  readonly heaps: readonly number[];
  /** The same in the midst of the batches, every so often. */
  readonly within: readonly number[];
  /** The most that either grew from its first measurement on, bytes. */
  readonly growth: number;
  /** Most timers that waited at once, in the first and in the last batch after warm-up. */
  readonly timers: { readonly first: number; readonly last: number };
  /** Timers that still waited after each batch. */
  readonly timersLeft: readonly number[];
  /** What went on in the process after warm-up and after the last batch. */
  readonly before: Readonly<Record<string, number>>;
  readonly after: Readonly<Record<string, number>>;
  /** Stations of batches that had ended, and are held by something all the same. */
  readonly stationsLeft: number;
  /** Median time for a reading in the last tenth beside the first tenth after warm-up. */
  readonly drift: number;
}

const HOUR_MS = 3_600_000;
/** Bytes. */
export const MOST_GROWTH = 5_000_000;
/** Timers by which two moments of a batch may differ. */
const FEW = 4;
/** Real drift, of what grows with every reading, would be many times this. */
const MOST_DRIFT = 2;
/** How often memory is looked at within a batch, milliseconds of the bench's time. */
const LOOK_MS = 600_000;
/** More than two scales say in two days at ten readings a second. */
const MOST_READINGS = 4_000_000;

export async function soak({
  idleMinutes,
  atLeastHours = 0,
  warmUp,
  openFront,
  say,
}: SoakSettings): Promise<SoakReport> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-soak-'));
  const clock = createCountedClock();
  const log = openSoakLog(folder, clock);
  // Some libraries take hold of the process once, when they are first used.
  let before = goingOn();
  const totals = { readings: 0, draws: 0, undone: 0, held: 0, pulls: 0 };
  const [heaps, within, timersLeft, mostTimers]: [number[], number[], number[], number[]] = [[], [], [], []];
  const stations: WeakRef<object>[] = [];
  const took = new Float32Array(MOST_READINGS); // outside of the heap that is measured
  let measured = 0;
  try {
    for (let number = 0; number < idleMinutes.length || clock.now() < atLeastHours * HOUR_MS; number += 1) {
      let looked = clock.now();
      let most = 0;
      const isMeasured = number >= warmUp;
      const batch = soakBatch(log, {
        folder,
        clock,
        seed: number + 1,
        idleMs: (idleMinutes[number] ?? 0) * 60_000,
        openFront,
        onReading: (tookMs) => {
          totals.readings += 1;
          if (isMeasured && measured < MOST_READINGS) took[measured++] = tookMs;
        },
        meanwhile: async () => {
          most = Math.max(most, clock.waiting);
          if (!isMeasured || clock.now() - looked < LOOK_MS) return;
          looked = clock.now();
          within.push(await heapNow());
        },
      });
      const { station, ...counts } = await clock.run(batch, Number.POSITIVE_INFINITY);
      stations.push(station);
      for (const [name, count] of Object.entries(counts)) totals[name as keyof typeof counts] += count;
      timersLeft.push(clock.waiting);
      if (isMeasured || number === warmUp - 1) heaps.push(await heapNow());
      if (number === warmUp - 1) before = goingOn();
      if (isMeasured) mostTimers.push(most);
      say?.(
        `batch ${number + 1}: ${(clock.now() / HOUR_MS).toFixed(1)} h, ${totals.readings} readings, heap ${((heaps.at(-1) ?? 0) / 1e6).toFixed(2)} MB, within ${((within.at(-1) ?? 0) / 1e6).toFixed(2)} MB, timers ${clock.waiting}`,
      );
    }
    await heapNow();
    return {
      hours: clock.now() / HOUR_MS,
      ...totals,
      heaps,
      within,
      growth: Math.max(grown(heaps), grown(within)),
      timers: { first: mostTimers[0] ?? 0, last: mostTimers.at(-1) ?? 0 },
      timersLeft,
      before,
      after: goingOn(),
      // The last one may still stand in the frame of the loop above.
      stationsLeft: stations.slice(0, -1).filter((each) => each.deref() !== undefined).length,
      drift: drift(took.subarray(0, measured)),
    };
  } finally {
    log.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

/** What must not be. */
export function faultsOf(report: SoakReport): string[] {
  const faults: string[] = [];
  if (report.growth > MOST_GROWTH) faults.push(`memory grew by ${report.growth} bytes`);
  if (report.timersLeft.some((left) => left > 0)) faults.push('timers are left');
  if (report.timers.last > report.timers.first + FEW) faults.push('timers become more');
  if (report.stationsLeft > 0) faults.push(`${report.stationsLeft} stations are held by something`);
  for (const [name, count] of Object.entries(report.after)) {
    if (count > (report.before[name] ?? 0)) faults.push(`left over: ${name}`);
  }
  if (report.drift > MOST_DRIFT) faults.push(`readings take ${report.drift} times as long`);
  return faults;
}

function grown([first = 0, ...later]: readonly number[]): number {
  return Math.max(0, ...later) - first;
}

function drift(took: Float32Array): number {
  const tenth = Math.floor(took.length / 10);
  return median(took.slice(-tenth)) / median(took.slice(0, tenth));
}

function median(values: Float32Array): number {
  return values.toSorted()[values.length >> 1] ?? Number.NaN;
}
