/**
 * A bench for the health cases: the demo's workshop with one draw to weigh, a station in this process, and between it
 * and each simulated scale a real serial line (a pair of pseudo-terminals with the serial library on both ends).
 */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseDocument } from 'yaml';
import { createMadeUpBench, type MadeUpBench } from '../../src/cli/demo/madeUpBench.ts';
import { stateOf } from '../../src/facts/apply.ts';
import type { Fact } from '../../src/facts/fact.ts';
import { readFormula } from '../../src/formula/readFormula.ts';
import { realClock } from '../../src/link/clock.ts';
import { createPortDesk } from '../../src/link/portDesk.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { makePlan } from '../../src/plan/plan.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { scalesStand } from '../../src/records/lastChecks.ts';
import { stamp } from '../../src/records/stamp.ts';
import type { InstrumentSettings } from '../../src/simulate/instrument.ts';
import { createStation, type Station } from '../../src/weighing/station.ts';
import type { Profile } from '../../src/wire/profile.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { shiftDates } from '../../src/workshop/shiftDates.ts';
import { startPair } from '../pairs.ts';
import { formulaOf, type Next, type Way } from './healthFormula.ts';
import { Ledger } from './ledger.ts';

const root = new URL('../../', import.meta.url);
const textOf = (path: string): string => readFileSync(fileURLToPath(new URL(path, root)), 'utf8');

/** The day that the demo workshop's dates are written for. */
const BATCH_DAY = '2026-11-25';
/** Four times as quick as a usual scale in all that has to do with time. */
const LINES_PER_SECOND = 40;
const QUICK: Partial<InstrumentSettings> = {
  perSecond: LINES_PER_SECOND,
  lagMs: 30,
  settleMs: 200,
  units: ['g', 'oz'],
};
const DWELL = '0.3 s';

/** A display that never sends its unit, but for that like the one that the demo's bench scale has. */
const WITHOUT_UNIT = textOf('devices/status-first.yaml')
  .replace(/ \(\?<unit>.*?\)/, '')
  .replace(/^units:.*$/m, 'units: {}\nno unit: { unit: g }')
  .replace(' {unit}"', '"')
  .replace(/^examples:[\s\S]*$/m, 'examples:\n  - { line: "calm,+    296.4", means: 296.4 g stable }\n');

export type Speech = 'without unit' | 'status-first';

export interface HealthBenchOptions {
  readonly way: Way;
  /** What is weighed after it; by default nothing. */
  readonly next?: Next;
  /** How the draw's scale speaks, if not as in the demo. */
  readonly speaks?: Speech;
  readonly instrument?: Partial<InstrumentSettings>;
}

export interface Cable {
  pullOut(): Promise<void>;
  /** @param name of the port, if not the same as before */
  plugIn(name?: string): Promise<void>;
}

export interface HealthBench {
  readonly way: Way;
  readonly bench: MadeUpBench;
  readonly station: Station;
  readonly ledger: Ledger;
  readonly facts: readonly Fact[];
  cable(scale: string): Cable;
  stop(): Promise<void>;
}

export interface HealthListeners {
  readonly onChange: () => void;
}

const today = stamp(new Date()).slice(0, 10);
/** The same for all benches: it takes long to read. */
let workshop: Workshop | undefined;
let seeds = 100;

function quickWorkshop(): Workshop {
  const days = Math.round((Date.parse(today) - Date.parse(BATCH_DAY)) / 86_400_000);
  const file = parseDocument(shiftDates(textOf('fixtures/demo/workshop.yaml'), days));
  for (const id of ['bench', 'fine']) {
    file.setIn(['scales', id, 'profile'], id);
    file.setIn(['scales', id, 'dwell'], DWELL);
    file.deleteIn(['scales', id, 'sleeps after']);
  }
  return told(readWorkshop('workshop.yaml', file.toString())).workshop;
}

export async function setUpHealthBench(
  { way, next, speaks, instrument }: HealthBenchOptions,
  { onChange }: HealthListeners,
): Promise<HealthBench> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-health-'));
  workshop ??= quickWorkshop();
  const formula = told(readFormula('trial.yaml', formulaOf(way, next), workshop)).formula;
  const { plan } = told(makePlan(workshop, formula, undefined, today));

  const ids = Object.keys(plan.scales);
  const paths = new Map(ids.map((id) => [id, join(folder, `${id}.near`)]));
  const far = (id: string): string => join(folder, `${id}.far`);
  const near = (id: string): string => paths.get(id) ?? '';
  const pairs = new Map(
    await Promise.all(ids.map(async (id) => [id, await startPair({ near: near(id), far: far(id) })] as const)),
  );
  const clock = realClock;
  const sleepsAfterMs = instrument?.sleepsAfterMs;
  const scales = new Map(
    [...workshop.scales].flatMap(([id, scale]) =>
      ids.includes(id) ? [[id, { ...scale, sleepsAfterMs }] as const] : [],
    ),
  );
  const profiles = new Map(ids.map((id) => [id, profileOf(id, speaks)]));
  seeds += 2;
  const bench = createMadeUpBench({
    workshop: { ...workshop, scales },
    profiles,
    clock,
    seed: seeds,
    wireTo: (id) => ({
      near: { openPort: openSerialPort, path: near(id) },
      far: { openPort: openSerialPort, path: far(id) },
    }),
    instrument: { ...QUICK, ...instrument },
  });
  // Pseudo-terminals have no adapters: the list of ports tells them as if each had its own, with a serial number.
  const plugged = new Set(ids);
  const list = async () => ({
    ports: ids
      .filter((id) => plugged.has(id))
      .map((id) => ({ ...NO_ADAPTER, path: near(id), serialNumber: `adapter of the ${id} scale` })),
    say: undefined,
  });
  const desk = createPortDesk({ list, realPath: async (path) => path });
  const stationScales = bench.scales.map(({ signal }) => {
    const { scale } = signal;
    const path = near(scale);
    const profile = profiles.get(scale);
    if (!profile) throw new Error(`no profile for the ${scale} scale`);
    const seat = desk.seat({ scale, path, adapter: undefined, profile });
    return { signal, source: createSerialLink({ scale, path, profile, openPort: openSerialPort, clock, seat }) };
  });

  let time: NodeJS.Timeout | undefined;

  const log = openLog(join(folder, 'batches.db'));
  const facts: Fact[] = [];
  const ledger = new Ledger(bench.world);
  const note = (written: readonly Fact[]): void => {
    facts.push(...written);
    ledger.note(written);
    for (const fact of written) {
      if (fact.kind !== 'weighed' || fact.way !== 'subtract') continue;
      bench.hand.tip(bench.world.spoon, bench.world.vessel(fact.vessel)); // the spoon is emptied once it is written down
    }
  };
  const by = workshop.operators[0] ?? '';
  const begun = await log.append(log.newBatchId(today), by, [
    { kind: 'batch-started', plan },
    scalesStand(log, plan.scales),
  ]);
  note(begun);
  await bench.start();
  const station = createStation({
    batch: stateOf(begun),
    scales: stationScales,
    log,
    by,
    clock,
    onFacts: note,
    onChange,
  });

  return {
    way,
    bench,
    station,
    ledger,
    facts,
    cable: (id) => ({
      async pullOut() {
        plugged.delete(id);
        // The world goes on while no line is sent.
        time ??= setInterval(() => bench.hand.advance(clock.now()), 20);
        await bench.simulated.get(id)?.stop();
        // The names go first: what they lead to may be another bench's line as soon as the pair is gone.
        for (const name of [near(id), far(id)]) rmSync(name, { force: true });
        await pairs.get(id)?.kill();
      },
      async plugIn(name = `${id}.near`) {
        if (plugged.has(id)) return;
        paths.set(id, join(folder, name));
        pairs.set(id, await startPair({ near: near(id), far: far(id) }));
        clearInterval(time);
        time = undefined;
        plugged.add(id);
        await bench.simulated.get(id)?.start();
      },
    }),
    async stop() {
      clearInterval(time);
      await station.stop();
      await bench.stop();
      await Promise.all([...pairs.values()].map((pair) => pair.kill()));
      log.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const NO_ADAPTER = { maker: undefined, vendorId: '1a2b', productId: '0001', likely: true };

/** As the demo has them: one scale speaks all the time, the other on every change. */
const AS_IN_DEMO: Readonly<Record<string, string>> = { bench: 'status-first', fine: 'unit-when-settled' };

/** One of the demo's profiles, only quicker. */
function profileOf(scale: string, speaks: Speech | undefined): Profile {
  const text = speaks === 'without unit' ? WITHOUT_UNIT : textOf(`devices/${speaks ?? AS_IN_DEMO[scale]}.yaml`);
  const quick = text.replace(/^lines per second: .*$/m, `lines per second: ${LINES_PER_SECOND}`);
  return told(readProfile(scale, `${scale}.yaml`, quick)).profile;
}

function told<T extends { readonly ok: boolean }>(read: T): Extract<T, { readonly ok: true }> {
  if (!read.ok) throw new Error(`the health bench is faulty: ${JSON.stringify(read)}`);
  return read as Extract<T, { readonly ok: true }>;
}
