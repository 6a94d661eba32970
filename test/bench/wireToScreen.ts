/**
 * From the last byte of a line at the far end of a serial line to the new digits on the terminal: the built program
 * while something is poured, beside a bare loop of the serial library, its line parser and a write. Readings go to
 * the two in turn, so that both see the same noise of the machine.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { startPair } from '../../src/link/startPair.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { BOWL_G, makeBenchWorkshop, TARGET_G } from './benchWorkshop.ts';
import { type Figures, figure, median, p99, skipped } from './figures.ts';
import { openScaleAtPort, type ScaleAtPort } from './scaleAtPort.ts';
import { loadSpawn, TimedProgram } from './timedProgram.ts';

const WARM_UP = 30;
const READINGS = 330;
/** Ten readings a second on each side. */
const EVERY_MS = 100;
/** The pour ends short of its band: 90 % of the target. */
const STEP_TENTHS = Math.floor((TARGET_G * 10 * 0.9) / (WARM_UP + READINGS));

const WHAT = {
  median: 'wire to screen, median: bismar minus the bare loop, beside the bare loop',
  p99: 'wire to screen, 99th percentile: bismar beside the bare loop',
  bytes: 'bytes to the terminal per reading: bismar beside the bare loop',
  shown: 'readings that were on the screen before the next one came: bismar beside the bare loop',
};

/** @param program path of the built program @param why when it can't be measured here */
export async function wireToScreen(program: string, why: string | undefined): Promise<Figures> {
  const library = await loadSpawn();
  const missing = why ?? ('why' in library ? library.why : undefined);
  if (missing !== undefined || 'why' in library) {
    return {
      wire_to_screen_over_floor_median_ms: skipped(WHAT.median, 'ms', missing ?? ''),
      wire_to_screen_p99_ms: skipped(WHAT.p99, 'ms', missing ?? ''),
      terminal_bytes_per_reading: skipped(WHAT.bytes, 'bytes', missing ?? ''),
      readings_shown: skipped(WHAT.shown, 'share', missing ?? ''),
    };
  }
  const pairs = [await startPair(), await startPair()] as const;
  const workshop = await makeBenchWorkshop(pairs[0].near);
  const [scale, bareScale] = [openScaleAtPort(pairs[0].far), openScaleAtPort(pairs[1].far)];
  const bismar = new TimedProgram(library.spawn, [program, 'resume', '--in', workshop.folder]);
  const bare = new TimedProgram(library.spawn, [new URL('bareLoop.mjs', import.meta.url).pathname, pairs[1].near]);
  try {
    await placeBowl(bismar, scale);
    const [ours, floor] = await pour([new Side(bismar, scale), new Side(bare, bareScale)]);
    return {
      wire_to_screen_over_floor_median_ms: figure(
        WHAT.median,
        'ms',
        median(ours.latencies) - median(floor.latencies),
        median(floor.latencies),
      ),
      wire_to_screen_p99_ms: figure(WHAT.p99, 'ms', p99(ours.latencies), p99(floor.latencies)),
      wire_to_screen_median_ms: figure(
        'wire to screen, median: bismar beside the bare loop',
        'ms',
        median(ours.latencies),
        median(floor.latencies),
      ),
      terminal_bytes_per_reading: figure(WHAT.bytes, 'bytes', ours.bytesPerReading, floor.bytesPerReading),
      readings_shown: figure(WHAT.shown, 'share', ours.shown, floor.shown),
    };
  } finally {
    await Promise.all([bismar.end(), bare.end()]);
    scale.close();
    bareScale.close();
    await Promise.all(pairs.map((pair) => pair.kill()));
    workshop.remove();
  }
}

/** The empty pan, then the bowl, each until the program has seen it at rest and shows what is on it. */
async function placeBowl(bismar: TimedProgram, scale: ScaleAtPort): Promise<void> {
  const empty = scale.repeat(0, true, EVERY_MS);
  await bismar.seen(/(?<![\d.])0\.0 g/);
  await pause(2000);
  empty.stop();
  const bowl = scale.repeat(BOWL_G * 10, true, EVERY_MS);
  // The net weight is shown once the bowl was recognised and written down.
  await bismar.seen(/(?=.*(?<![\d.])0\.0 g)(?=.*\b912\.0 g)/s);
  bowl.stop();
}

/** One of the two that are measured. */
class Side {
  readonly #program: TimedProgram;
  readonly #scale: ScaleAtPort;
  #waiting: { readonly text: string; readonly sent: number; readonly counts: boolean }[] = [];
  #bytesBefore = 0;
  #missed = 0;
  readonly latencies: number[] = [];

  constructor(program: TimedProgram, scale: ScaleAtPort) {
    this.#program = program;
    this.#scale = scale;
    program.watch((screen, at) => {
      const seen = this.#waiting.findLastIndex(({ text }) => screen.includes(text));
      // A newer number stands for the older ones: whoever waited for those has been served now, and late.
      for (const { sent, counts } of this.#waiting.splice(0, seen + 1)) if (counts) this.latencies.push(at - sent);
    });
  }

  send(number: number): void {
    const tenths = BOWL_G * 10 + (number + 1) * STEP_TENTHS;
    if (number === WARM_UP) this.#bytesBefore = this.#program.bytes;
    if (number > WARM_UP) this.#missed += this.#waiting.length > 0 ? 1 : 0;
    this.#waiting.push({
      text: ` ${(tenths / 10).toFixed(1)} g`,
      sent: this.#scale.send(tenths, false),
      counts: number >= WARM_UP,
    });
  }

  /** @throws Error when the last readings do not come to the screen */
  async allSeen(): Promise<void> {
    const end = performance.now() + 3000;
    while (this.#waiting.length > 0 && performance.now() < end) await pause(10);
    if (this.#waiting.length > 0) throw new Error(`${this.#waiting.length} readings never came to the screen`);
  }

  get bytesPerReading(): number {
    return (this.#program.bytes - this.#bytesBefore) / READINGS;
  }

  get shown(): number {
    return 1 - this.#missed / READINGS;
  }
}

async function pour<Sides extends readonly Side[]>(sides: Sides): Promise<Sides> {
  const random = seededRandom(5);
  const begin = performance.now();
  for (let number = 0; number < WARM_UP + READINGS; number++) {
    for (const [turn, side] of sides.entries()) {
      // Shaken a little, so that lines do not keep step with anybody's timer.
      const due = begin + (number + turn / sides.length + random.next() * 0.2) * EVERY_MS;
      await pause(Math.max(0, due - performance.now()));
      side.send(number);
    }
  }
  for (const side of sides) await side.allSeen();
  return sides;
}
