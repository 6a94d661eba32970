/** The demo's bench: a simulated world, and for each scale an instrument at the far end of a cable in memory. */
import { createMemoryCable } from '../../link/memoryPort.ts';
import type { OpenPort } from '../../link/port.ts';
import { createSerialLink } from '../../link/serialLink.ts';
import { createSimulatedScale, type SimulatedScale } from '../../link/simulatedScale.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import type { Clock } from '../../signal/clock.ts';
import { createHand, type Hand } from '../../simulate/hand.ts';
import { createInstrument, type Instrument, type InstrumentSettings, usualNoise } from '../../simulate/instrument.ts';
import { seededRandom } from '../../simulate/seededRandom.ts';
import { createWorld, type World } from '../../simulate/world.ts';
import type { StationScale } from '../../weighing/station.ts';
import type { Profile } from '../../wire/profile.ts';
import type { Scale, Workshop } from '../../workshop/model.ts';
import { signalConfigOf } from '../weigh/scales.ts';

export interface MadeUpBench {
  readonly world: World;
  readonly hand: Hand;
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly simulated: ReadonlyMap<string, SimulatedScale>;
  readonly scales: readonly StationScale[];
  /** The scale once more, for who comes after the first has hung up. @throws RangeError when there is none of that name */
  seat(scale: string): StationScale;
  start(): Promise<void>;
  stop(): Promise<void>;
}

/** Both ends of a wire: the program's and the simulated scale's. */
export interface Wire {
  readonly near: { readonly openPort: OpenPort; readonly path: string };
  readonly far: { readonly openPort: OpenPort; readonly path: string };
}

function memoryWire(scale: string): Wire {
  const { near, far } = createMemoryCable();
  return { near: { openPort: near, path: scale }, far: { openPort: far, path: scale } };
}

export interface MadeUpBenchInput {
  readonly workshop: Workshop;
  readonly profiles: ReadonlyMap<string, Profile>;
  readonly clock: Clock;
  readonly seed: number;
  /** The wire to a scale; by default a cable in memory. */
  readonly wireTo?: (scale: string) => Wire;
  /** How often time passes for the simulated scales, milliseconds; see `createSimulatedScale`. */
  readonly stepMs?: number;
  /** Settings of the instruments that differ from the usual. */
  readonly instrument?: Partial<InstrumentSettings>;
  /** What lots truly hold where the book is wrong, by lot. */
  readonly trueStock?: ReadonlyMap<string, Mass>;
}

export function createMadeUpBench(input: MadeUpBenchInput): MadeUpBench {
  const { workshop, profiles, clock, seed, trueStock, stepMs, wireTo = memoryWire } = input;
  const world = createWorld({
    pans: [...workshop.scales.keys()],
    vessels: [...workshop.vessels.values()].map(({ id, tare }) => ({ id, tare })),
    lots: [...workshop.ingredients.values()].flatMap(({ id: ingredient, lots }) =>
      lots.map(({ id, onHand, jar }) => ({ id, ingredient, onHand: trueStock?.get(id) ?? onHand, jar })),
    ),
  });
  const hand = createHand(world, clock.now(), clock.now);
  const instruments = new Map<string, Instrument>();
  const simulated = new Map<string, SimulatedScale>();
  const scales: StationScale[] = [];
  const seats = new Map<string, () => StationScale>();
  let number = 0;
  for (const scale of workshop.scales.values()) {
    const profile = scale.profile === undefined ? undefined : profiles.get(scale.profile);
    if (!profile) continue;
    number += 1;
    const instrument = createInstrument(
      { ...settingsOf(scale, profile), ...input.instrument },
      hand.loadOn(world.pan(scale.id)),
      seededRandom(seed + number),
      clock.now(),
    );
    const { near, far } = wireTo(scale.id);
    instruments.set(scale.id, instrument);
    simulated.set(
      scale.id,
      createSimulatedScale({ instrument, profile, ...far, clock, ...(stepMs ? { stepMs } : {}) }),
    );
    const seat = () => ({
      signal: signalConfigOf(scale, profile),
      source: createSerialLink({ scale: scale.id, profile, ...near, clock }),
    });
    seats.set(scale.id, seat);
    scales.push(seat());
  }
  return {
    world,
    hand,
    instruments,
    simulated,
    scales,
    seat(scale) {
      const seat = seats.get(scale);
      if (!seat) throw new RangeError(`the bench has no scale ${scale}`);
      return seat();
    },
    async start() {
      await Promise.all([...simulated.values()].map((each) => each.start()));
    },
    async stop() {
      await Promise.all([...simulated.values()].map((each) => each.stop()));
    },
  };
}

/** A modest scale comes to rest within one to two seconds (common practice, no source). */
const LAG_MS = 150;

function settingsOf({ capacity, d, repeatability, sleepsAfterMs }: Scale, profile: Profile) {
  // Repeatability scatters whole weighings; what trembles on the display of a resting scale is a part of it.
  const noise = repeatability === undefined ? usualNoise(d) : mass(Math.round(repeatability / 2));
  return { capacity, d, noise, lagMs: LAG_MS, perSecond: profile.linesPerSecond, sleepsAfterMs };
}
