/**
 * One whole batch at the made-up bench in compressed time, weighed by the real workbench on its real log: with cables that
 * are pulled out, hands that slip, weights that are taken back, and idle time in between.
 */
import { follow } from '../../src/cli/demo/demo.ts';
import { createHandKeys } from '../../src/cli/demo/handKeys.ts';
import { createMadeUpBench } from '../../src/cli/demo/madeUpBench.ts';
import { work } from '../../src/cli/demo/maker.ts';
import type { Mishaps } from '../../src/cli/demo/mishaps.ts';
import { type Front, type FrontInput, runWorkbench, SAVED_MS } from '../../src/cli/weigh/workbench.ts';
import { stateOf } from '../../src/facts/apply.ts';
import { createMemoryCable, type MemoryCable } from '../../src/link/memoryPort.ts';
import { mass } from '../../src/mass/mass.ts';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { earlierPours } from '../../src/records/earlierPours.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Answer } from '../../src/weighing/events.ts';
import type { Station } from '../../src/weighing/station.ts';
import type { ScaleSource } from '../../src/wire/reading.ts';
import { BATCH_DAY, demo, demoFormula, planOf } from '../plan/fixtures.ts';
import { shippedProfile } from '../wire/profiles.ts';
import type { CountedClock } from './countedClock.ts';

const BY = 'Soaked';
/** Lines come at this grain: the scales here send ten a second at most. */
const STEP_MS = 100;

export interface Soaking {
  readonly folder: string;
  readonly clock: CountedClock;
  readonly seed: number;
  /** Time that passes idly over each draw, with all scales speaking; milliseconds. */
  readonly idleMs: number;
  readonly openFront: (input: FrontInput, clock: CountedClock) => Front;
  /** Called for each reading with the time it took until all that it causes was done, milliseconds. */
  readonly onReading: (tookMs: number) => void;
  /** Called often, while nothing else is being done. */
  readonly meanwhile?: () => Promise<void>;
}

export interface Soaked {
  readonly draws: number;
  readonly undone: number;
  readonly held: number;
  /** Cables pulled out and plugged in again. */
  readonly pulls: number;
  /** Held by nobody but its own batch: gone with it, or something leaks. */
  readonly station: WeakRef<Station>;
}

export function openSoakLog(folder: string, clock: CountedClock): BatchLog {
  const began = Date.parse(`${BATCH_DAY}T08:00:00Z`);
  return openLog(`${folder}/soak.log.db`, { now: () => new Date(began + clock.now()) });
}

/** Weighs a batch to its end. @throws Error when it does not come to one */
export async function soakBatch(log: BatchLog, soaking: Soaking): Promise<Soaked> {
  const { clock, seed, idleMs, onReading } = soaking;
  const random = seededRandom(seed);
  const plan = planOf(demo, demoFormula);
  const spoken = [...demo.scales.values()].flatMap(({ profile }) => profile ?? []);
  const profiles = new Map(spoken.map((id) => [id, shippedProfile(id)] as const));
  const cables = new Map<string, MemoryCable>();
  const bench = createMadeUpBench({
    // Sleepy scales are a matter of other tests: here they are to speak all the time.
    workshop: {
      ...demo,
      scales: new Map([...demo.scales].map(([id, each]) => [id, { ...each, sleepsAfterMs: undefined }])),
    },
    profiles,
    clock,
    seed,
    stepMs: STEP_MS,
    wireTo(scale) {
      const cable = createMemoryCable();
      cables.set(scale, cable);
      return { near: { openPort: cable.near, path: scale }, far: { openPort: cable.far, path: scale } };
    },
  });
  const batch = log.newBatchId(BATCH_DAY);
  const begun = await log.append(batch, BY, [{ kind: 'batch-started', plan }]);
  await bench.start();
  const counts = { draws: 0, undone: 0, held: 0, pulls: 0 };
  let over = false;
  let working: Promise<void> | undefined;
  let atBench: Station | undefined;
  const handKeys = createHandKeys(bench, clock);

  const pause = (ms: number) => new Promise<void>((resolve) => clock.setTimeout(resolve, ms));
  const pullOut = async (): Promise<void> => {
    counts.pulls += 1;
    for (const cable of cables.values()) cable.unplug();
    await pause(4000);
    for (const cable of cables.values()) cable.plug();
    for (const scale of bench.simulated.values()) await scale.start();
    await pause(8000);
  };
  const answerIn = (ms: number, answer: Answer): void => {
    clock.setTimeout(() => atBench?.answer(answer), ms);
  };
  const slipped = new Set<string>();
  const mishaps: Mishaps = {
    extra(draw) {
      if (slipped.has(draw.id) || random.next() > 0.15) return 0;
      slipped.add(draw.id);
      return draw.high - draw.target + mass(Math.round(draw.target * 0.1));
    },
    async during(draw) {
      const until = clock.now() + idleMs;
      while (clock.now() < until) {
        await pause(Math.min(30_000, until - clock.now()));
        await soaking.meanwhile?.();
        if (draw.way !== 'add' || random.next() > 0.2) continue;
        await pullOut();
      }
    },
    tell() {},
  };
  const run = runWorkbench({
    batch: stateOf(begun),
    scales: bench.scales.map((scale) => ({ ...scale, source: timed(scale.source, onReading) })),
    log,
    by: BY,
    clock,
    learnt: earlierPours(log),
    savedMs: SAVED_MS,
    openFront: (input) => soaking.openFront(input, clock),
    onFacts: (facts) => {
      for (const fact of facts) {
        follow(fact, atBench?.snapshot().context.batch.plan ?? plan, bench, handKeys);
        if (fact.kind === 'weighed') counts.draws += 1;
        if (fact.kind === 'undone') counts.undone += 1;
        if (fact.kind === 'held') counts.held += 1;
        // She looks once more before anything else comes in, and the same weight is accepted again.
        if (fact.kind === 'weighed' && fact.way === 'add' && random.next() < 0.2) answerIn(20, { type: 'answer.undo' });
        if (fact.kind === 'undone') answerIn(1500, { type: 'answer.yes' });
      }
    },
    alongside: (station, leave) => {
      atBench = station;
      working = work({ station, bench, clock, mishaps, isOver: () => over });
      working.then(leave, leave);
      return () => {
        over = true;
      };
    },
  });
  const { ended } = await run;
  await working;
  await bench.stop();
  await pause(SAVED_MS); // what is told for a moment
  if (ended !== 'finished' || atBench === undefined) throw new Error(`batch ${batch} is ${ended}`);
  return { ...counts, station: new WeakRef(atBench) };
}

function timed(source: ScaleSource | undefined, onReading: (tookMs: number) => void): ScaleSource | undefined {
  return (
    source && {
      scale: source.scale,
      start: (tell) =>
        source.start((event) => {
          const at = performance.now();
          tell(event);
          if (event.kind === 'reading') onReading(performance.now() - at);
        }),
      stop: () => source.stop(),
    }
  );
}
