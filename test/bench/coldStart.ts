/** From the start of a process to what it was started for, each beside the least that could be. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { startPair } from '../../src/link/startPair.ts';
import { makeBenchWorkshop } from './benchWorkshop.ts';
import { type Figures, figure, median, skipped } from './figures.ts';
import { openScaleAtPort } from './scaleAtPort.ts';
import { loadSpawn, TimedProgram } from './timedProgram.ts';

const RUNS = 10;
const LOAD_G = 1234.5;

/** @param program path of the built program @param why when it can't be measured here */
export async function firstWeight(program: string, why: string | undefined): Promise<Figures> {
  const what = 'cold start to the first live weight: bismar, in loads of ink, react, xstate and serialport alone';
  const library = await loadSpawn();
  const missing = why ?? ('why' in library ? library.why : undefined);
  if (missing !== undefined || 'why' in library) {
    return { first_weight_over_library_load: skipped(what, 'times', missing ?? '') };
  }
  const pair = await startPair();
  const workshop = await makeBenchWorkshop(pair.near);
  const scale = openScaleAtPort(pair.far);
  const timed = async (args: readonly string[], pattern: RegExp): Promise<number> => {
    const begin = performance.now();
    const seen = new TimedProgram(library.spawn, args);
    try {
      return (await seen.seen(pattern)) - begin;
    } finally {
      await seen.end();
    }
  };
  const libraryLoad = new URL('libraryLoad.mjs', import.meta.url).pathname;
  const ours: number[] = [];
  const loads: number[] = [];
  // The scale speaks ten times a second all the while, as scales of this shape do.
  const speaking = scale.repeat(LOAD_G * 10, false, 100);
  try {
    for (let run = -1; run < RUNS; run++) {
      const load = await timed([libraryLoad], /loaded/);
      const weight = await timed([program, 'resume', '--in', workshop.folder], /\b1234\.5 g/);
      if (run < 0) continue; // files come into the system's memory, and what is compiled is kept
      loads.push(load);
      ours.push(weight);
    }
  } finally {
    speaking.stop();
    scale.close();
    await pair.kill();
    workshop.remove();
  }
  return {
    first_weight_over_library_load: figure(what, 'times', median(ours) / median(loads), 1),
    first_weight_ms: figure(
      'cold start to the first live weight: bismar beside loading those libraries',
      'ms',
      median(ours),
      median(loads),
    ),
  };
}

/** `--version`, beside a Node process that does nothing. */
export async function versionStart(program: string): Promise<Figures> {
  const timed = async (args: readonly string[]): Promise<number> => {
    const begin = performance.now();
    await once(spawn(process.execPath, args, { stdio: 'ignore' }), 'exit');
    return performance.now() - begin;
  };
  const ours: number[] = [];
  const empty: number[] = [];
  for (let run = -1; run < RUNS; run++) {
    const nothing = await timed(['--eval', '']);
    const version = await timed([program, '--version']);
    if (run < 0) continue;
    empty.push(nothing);
    ours.push(version);
  }
  const what = '`bismar --version`, beside a Node process that does nothing';
  return {
    version_ms: figure(what, 'ms', median(ours), median(empty)),
    version_over_empty_node: figure(`${what}, in times of it`, 'times', median(ours) / median(empty), 1),
  };
}
