/**
 * A bench for journeys: the demo workshop in a folder of its own, two simulated scales in one simulated world, and
 * between them and the program two real serial lines (pairs of pseudo-terminals).
 */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parse, parseDocument } from 'yaml';
import { stateOf } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Fact } from '../../src/facts/fact.ts';
import { realClock } from '../../src/link/clock.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { createSimulatedScale, type SimulatedScale } from '../../src/link/simulatedScale.ts';
import { mass } from '../../src/mass/mass.ts';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { stamp } from '../../src/records/stamp.ts';
import { createHand, type Hand } from '../../src/simulate/hand.ts';
import { createInstrument, type Instrument } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { createWorld, type World } from '../../src/simulate/world.ts';
import { type Profile, unitsOf } from '../../src/wire/profile.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { shiftDates } from '../../src/workshop/shiftDates.ts';
import { hasSocat, type Pair, startPair } from '../pairs.ts';
import { noTerminal } from './seenProgram.ts';
import { until } from './until.ts';

/** Why no bench can be set up here; undefined when it can. */
export const noBench: string | undefined = noTerminal ?? (hasSocat ? undefined : 'the program socat is not installed');

const demo = fileURLToPath(new URL('../../fixtures/demo/', import.meta.url));
const devices = fileURLToPath(new URL('../../devices/', import.meta.url));
/** The day that the demo workshop's dates are written for. */
const BATCH_DAY = '2026-11-25';
/** Quick scales and short times, so that a batch takes a minute: nothing else differs from the demo workshop. */
const LINES_PER_SECOND = 40;
const DWELL = '0.2 s';
const LAG_MS = 25;
const SETTLE_MS = 200;

/** A bag that holds less than the book says. */
const TRUE_STOCK: Readonly<Record<string, number>> = { 'SA-88': 509_600_000 };

export interface BenchOptions {
  /** Replaces the demo's formula. */
  readonly formula?: string;
}

/** One scale with its line. */
export interface Line {
  readonly instrument: Instrument;
  readonly scale: SimulatedScale;
  /** The program's end. */
  readonly near: string;
  pullOut(): Promise<void>;
  /** Under the same name as before. */
  plugIn(): Promise<void>;
}

export interface Bench {
  readonly folder: string;
  readonly world: World;
  readonly hand: Hand;
  line(scale: string): Line;
  /** All facts so far, read from the batch log while the program writes it. */
  facts(): readonly Fact[];
  /** The state of the only batch; undefined before it was begun. */
  state(): BatchState | undefined;
  stop(): Promise<void>;
}

export async function setUpBench({ formula }: BenchOptions = {}): Promise<Bench> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
  const profiles = new Map<string, Profile>();
  mkdirSync(join(folder, 'formulas'));
  mkdirSync(join(folder, 'scales'));
  if (formula !== undefined) writeFileSync(join(folder, 'formulas', 'trial.yaml'), formula);
  else {
    for (const name of readdirSync(join(demo, 'formulas'))) {
      const text = readFileSync(join(demo, 'formulas', name), 'utf8');
      writeFileSync(join(folder, 'formulas', name), text.replace(/\bfor: [\d.]+ (s|min|h)\b/g, 'for: 1 s'));
    }
  }

  const today = stamp(new Date()).slice(0, 10);
  const days = Math.round((Date.parse(today) - Date.parse(BATCH_DAY)) / 86_400_000);
  const file = parseDocument(shiftDates(readFileSync(join(demo, 'workshop.yaml'), 'utf8'), days));
  const scaleIds = Object.keys(parse(file.toString()).scales as object);
  const near = (scale: string): string => join(folder, `${scale}.near`);
  for (const id of scaleIds) {
    const name = `quick-${file.getIn(['scales', id, 'profile'])}`;
    profiles.set(id, quickProfile(folder, name));
    file.setIn(['scales', id, 'profile'], name);
    file.setIn(['scales', id, 'port'], near(id));
    file.setIn(['scales', id, 'dwell'], DWELL);
  }
  writeFileSync(join(folder, 'workshop.yaml'), file.toString());
  const read = readWorkshop('workshop.yaml', file.toString());
  if (!read.ok) throw new Error(`the journey's workshop is faulty: ${JSON.stringify(read.problems)}`);
  const { workshop } = read;

  const world = createWorld({
    pans: scaleIds,
    vessels: [...workshop.vessels.values()],
    lots: [...workshop.ingredients.values()].flatMap(({ id: ingredient, lots }) =>
      lots.map(({ id, onHand, jar }) => ({ id, ingredient, onHand: mass(TRUE_STOCK[id] ?? onHand), jar })),
    ),
  });
  const hand = createHand(world, realClock.now(), realClock.now);
  const lines = new Map<string, Line>();
  for (const [index, { id, capacity, d, repeatability, sleepsAfterMs }] of [...workshop.scales.values()].entries()) {
    const profile = profiles.get(id);
    if (!profile) continue;
    const [firstUnit = 'g', ...otherUnits] = unitsOf(profile);
    const instrument = createInstrument(
      {
        capacity,
        d,
        // Repeatability scatters whole weighings; what trembles on a resting display is a part of it.
        noise: mass(Math.round((repeatability ?? d / 2) / 2)),
        lagMs: LAG_MS,
        perSecond: LINES_PER_SECOND,
        settleMs: SETTLE_MS,
        units: [firstUnit, ...otherUnits],
        sleepsAfterMs,
      },
      hand.loadOn(world.pan(id)),
      seededRandom(20 + index),
      realClock.now(),
    );
    lines.set(id, await openLine(instrument, profile, near(id), join(folder, `${id}.far`)));
  }

  let log: BatchLog | undefined;
  let known: readonly Fact[] = [];
  let stands: BatchState | undefined;
  const facts = (): readonly Fact[] => {
    try {
      log ??= openLog(join(folder, 'batches.db'), { readOnly: true });
    } catch {
      return []; // the program has not made it yet
    }
    // Looked at a hundred times a second: read again only when there is something new.
    const seq = log.seal()?.seq ?? 0;
    if (seq !== known.length) {
      known = log.facts();
      stands = undefined;
    }
    return known;
  };
  return {
    folder,
    world,
    hand,
    facts,
    line(scale) {
      const line = lines.get(scale);
      if (!line) throw new Error(`the bench has no scale ${scale}`);
      return line;
    },
    state() {
      const all = facts();
      if (all.length > 0) stands ??= stateOf(all);
      return stands;
    },
    async stop() {
      log?.close();
      for (const line of lines.values()) {
        await line.scale.stop();
        await line.pullOut();
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** One of the shipped profiles, only quicker, as a workshop's own. */
function quickProfile(folder: string, name: string): Profile {
  const text = readFileSync(join(devices, `${name.replace(/^quick-/, '')}.yaml`), 'utf8').replace(
    /^lines per second: .*$/m,
    `lines per second: ${LINES_PER_SECOND}`,
  );
  writeFileSync(join(folder, 'scales', `${name}.yaml`), text);
  const read = readProfile(name, `${name}.yaml`, text);
  if (!read.ok) throw new Error(`the journey's profile is faulty: ${JSON.stringify(read.problems)}`);
  return read.profile;
}

async function openLine(instrument: Instrument, profile: Profile, near: string, far: string): Promise<Line> {
  let pair: Pair = await startPair({ near, far });
  let lost = false;
  const scale = createSimulatedScale({
    instrument,
    profile,
    openPort: openSerialPort,
    path: far,
    onLost: () => {
      lost = true;
    },
  });
  await scale.start();
  return {
    instrument,
    scale,
    near,
    async pullOut() {
      await scale.stop();
      await pair.kill();
    },
    async plugIn() {
      lost = false;
      pair = await startPair({ near, far });
      await scale.start();
      await until('line after plugging in', () => !lost);
    },
  };
}
