/** The demo's bench: a simulated world, and for each scale an instrument at the far end of a cable in memory. */
import { createMemoryCable } from '../../link/memoryPort.ts';
import { createSerialLink } from '../../link/serialLink.ts';
import { createSimulatedScale, type SimulatedScale } from '../../link/simulatedScale.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import type { Clock } from '../../signal/clock.ts';
import { createHand, type Hand } from '../../simulate/hand.ts';
import { createInstrument, type Instrument, usualNoise } from '../../simulate/instrument.ts';
import { seededRandom } from '../../simulate/seededRandom.ts';
import { createWorld, type World } from '../../simulate/world.ts';
import type { StationScale } from '../../weighing/station.ts';
import type { Profile } from '../../wire/profile.ts';
import type { Scale, Workshop } from '../../workshop/model.ts';
import { signalConfigOf } from '../scales.ts';

export interface MadeUpBench {
  readonly world: World;
  readonly hand: Hand;
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly scales: readonly StationScale[];
  start(): Promise<void>;
  stop(): Promise<void>;
}

export interface MadeUpBenchInput {
  readonly workshop: Workshop;
  readonly profiles: ReadonlyMap<string, Profile>;
  readonly clock: Clock;
  readonly seed: number;
  /** What lots truly hold where the book is wrong, by lot. */
  readonly trueStock?: ReadonlyMap<string, Mass>;
}

export function createMadeUpBench({ workshop, profiles, clock, seed, trueStock }: MadeUpBenchInput): MadeUpBench {
  const world = createWorld({
    pans: [...workshop.scales.keys()],
    vessels: [...workshop.vessels.values()].map(({ id, tare }) => ({ id, tare })),
    lots: [...workshop.ingredients.values()].flatMap(({ id: ingredient, lots }) =>
      lots.map(({ id, onHand, jar }) => ({ id, ingredient, onHand: trueStock?.get(id) ?? onHand, jar })),
    ),
  });
  const hand = createHand(world, clock.now());
  const instruments = new Map<string, Instrument>();
  const simulated: SimulatedScale[] = [];
  const scales: StationScale[] = [];
  let number = 0;
  for (const scale of workshop.scales.values()) {
    const profile = scale.profile === undefined ? undefined : profiles.get(scale.profile);
    if (!profile) continue;
    number += 1;
    const instrument = createInstrument(
      settingsOf(scale, profile),
      hand.loadOn(world.pan(scale.id)),
      seededRandom(seed + number),
      clock.now(),
    );
    const cable = createMemoryCable();
    instruments.set(scale.id, instrument);
    simulated.push(createSimulatedScale({ instrument, profile, openPort: cable.far, path: scale.id, clock }));
    scales.push({
      signal: signalConfigOf(scale, profile),
      source: createSerialLink({ scale: scale.id, path: scale.id, profile, openPort: cable.near, clock }),
    });
  }
  return {
    world,
    hand,
    instruments,
    scales,
    async start() {
      await Promise.all(simulated.map((each) => each.start()));
    },
    async stop() {
      await Promise.all(simulated.map((each) => each.stop()));
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
