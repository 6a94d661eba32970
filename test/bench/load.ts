/**
 * What two scales that speak without a pause cost, and whether anything they say gets lost: the built program on two
 * serial pairs while one pan is poured onto, at 10 and at 50 readings a second each, beside the same program while both
 * scales are silent.
 */
import { existsSync, readFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { realClock } from '../../src/link/clock.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { startPair } from '../../src/link/startPair.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { BOWL_G, makeBenchWorkshop } from './benchWorkshop.ts';
import { type Figures, figure, skipped } from './figures.ts';
import { openScaleAtPort, type ScaleAtPort } from './scaleAtPort.ts';
import { loadSpawn, TimedProgram } from './timedProgram.ts';

const SECONDS = 10;
const ROUNDS = 2;
/** Linux counts a process's time in hundredths of a second (proc(5): clock ticks). */
const TICK_S = 0.01;
const CUP_G = 31.46;

const WHAT = {
  cpu: (rate: number) =>
    `share of a core at ${rate} readings a second from each of two scales, above the program with silent scales`,
  kept: 'readings of two scales at 50 a second each that arrived, once and in order, beside those that were sent',
};

/** @param program path of the built program @param why when it can't be measured here */
export async function load(program: string, why: string | undefined): Promise<Figures> {
  const library = await loadSpawn();
  const missing = why ?? ('why' in library ? library.why : undefined);
  const noTimes =
    missing ?? (existsSync('/proc/self/stat') ? undefined : "this system has no /proc with a process's time");
  const cpu =
    noTimes !== undefined || 'why' in library
      ? {
          cpu_at_10_percent: skipped(WHAT.cpu(10), '%', noTimes ?? ''),
          cpu_at_50_percent: skipped(WHAT.cpu(50), '%', noTimes ?? ''),
        }
      : await cpuShares(program, library.spawn);
  const kept =
    missing === undefined ? await effectsKept() : { effects_kept_at_50_percent: skipped(WHAT.kept, '%', missing) };
  return { ...cpu, ...kept };
}

type Spawn = Extract<Awaited<ReturnType<typeof loadSpawn>>, { spawn: unknown }>['spawn'];

async function cpuShares(program: string, spawn: Spawn): Promise<Figures> {
  const pairs = [await startPair(), await startPair()] as const;
  const workshop = await makeBenchWorkshop(pairs[0].near, pairs[1].near);
  const [bench, fine] = [openScaleAtPort(pairs[0].far), openScaleAtPort(pairs[1].far)];
  const bismar = new TimedProgram(spawn, [program, 'resume', '--in', workshop.folder]);
  const used = { idle: 0, 10: 0, 50: 0 };
  try {
    await standBowl(bismar, bench, fine);
    let tenths = BOWL_G * 10;
    const pour = () => {
      tenths += 1;
      return tenths;
    };
    for (let round = 0; round < ROUNDS; round++) {
      used.idle += await timeOver(bismar.pid, async () => pause(SECONDS * 1000));
      for (const rate of [10, 50] as const) {
        used[rate] += await timeOver(bismar.pid, () => speak(bench, fine, rate, pour));
      }
    }
  } finally {
    await bismar.end();
    bench.close();
    fine.close();
    for (const pair of pairs) await pair.kill();
    workshop.remove();
  }
  const percent = (seconds: number) => (100 * seconds) / (SECONDS * ROUNDS);
  const above = (rate: 10 | 50) =>
    figure(WHAT.cpu(rate), '%', percent(used[rate]) - percent(used.idle), percent(used.idle));
  return { cpu_at_10_percent: above(10), cpu_at_50_percent: above(50) };
}

async function standBowl(bismar: TimedProgram, bench: ScaleAtPort, fine: ScaleAtPort): Promise<void> {
  const other = fine.repeat(0, true, 100);
  const empty = bench.repeat(0, true, 50);
  await bismar.seen(/PUT ON/);
  empty.stop();
  const bowl = bench.repeat(BOWL_G * 10, true, 50);
  await bismar.seen(/ADD/);
  bowl.stop();
  other.stop();
}

/** Both scales speak for the whole time; the bench scale is poured onto, slowly enough to stay below the band. */
async function speak(bench: ScaleAtPort, fine: ScaleAtPort, rate: number, pour: () => number): Promise<void> {
  const begin = performance.now();
  for (let said = 0; said < SECONDS * rate; said++) {
    bench.send(pour(), false);
    fine.send(Math.round(CUP_G * 10) + (said % 2), true);
    await pause(Math.max(0, begin + ((said + 1) * 1000) / rate - performance.now()));
  }
}

/** Processor time of a process over a stretch of work, seconds. */
async function timeOver(pid: number, work: () => Promise<void>): Promise<number> {
  const before = timeOf(pid);
  await work();
  return timeOf(pid) - before;
}

function timeOf(pid: number): number {
  // After the name in brackets the fields 14 and 15 are the time in user mode and in the kernel (proc(5)).
  const [, fields = ''] = /\)\s(.*)$/s.exec(readFileSync(`/proc/${pid}/stat`, 'utf8')) ?? [];
  const parts = fields.split(' ');
  return (Number(parts[11]) + Number(parts[12])) * TICK_S;
}

async function effectsKept(): Promise<Figures> {
  const RATE = 50;
  const pairs = [await startPair(), await startPair()];
  const profile = shippedProfile('status-first');
  const sides = pairs.map((pair, index) => {
    const came: number[] = [];
    const link = createSerialLink({
      scale: `scale-${index}`,
      path: pair.near,
      profile,
      openPort: openSerialPort,
      clock: realClock,
    });
    return { pair, came, link, far: openScaleAtPort(pair.far) };
  });
  const sent: number[] = [];
  try {
    for (const { link, came } of sides) {
      link.start((event) => {
        if (event.kind === 'reading') came.push(Math.round(event.reading.mass / 100_000));
      });
    }
    // The first line after a port has opened may be half a line, and is not used.
    for (let said = 0; said < 10; said++) {
      for (const { far } of sides) far.send(0, false);
      await pause(50);
    }
    for (const { came } of sides) came.length = 0;
    const begin = performance.now();
    for (let said = 1; said <= SECONDS * RATE; said++) {
      sent.push(said);
      for (const { far } of sides) far.send(said, false);
      await pause(Math.max(0, begin + (said * 1000) / RATE - performance.now()));
    }
    await pause(1000);
  } finally {
    for (const { link, far, pair } of sides) {
      await link.stop();
      far.close();
      await pair.kill();
    }
  }
  const kept = sides.map(({ came }) => sent.filter((each, index) => came[index] === each).length);
  const share = (100 * Math.min(...kept)) / sent.length;
  return { effects_kept_at_50_percent: figure(WHAT.kept, '%', share, 100) };
}
