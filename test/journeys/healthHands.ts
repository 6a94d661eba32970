/** The bench of one draw in the maker's hands, and what may go wrong there. */
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { wordsFor } from '../../src/screen/fill/words.ts';
import type { Pour } from '../../src/simulate/hand.ts';
import type { Holder } from '../../src/simulate/holder.ts';
import type { Instrument } from '../../src/simulate/instrument.ts';
import type { Pan } from '../../src/simulate/pan.ts';
import type { HealthBench } from './healthBench.ts';
import { until } from './until.ts';

/** The bench of the present draw, in the maker's hands. */
export interface Hands {
  readonly rig: HealthBench;
  readonly draw: PlannedDraw;
  readonly pan: Pan;
  readonly vessel: Holder;
  readonly instrument: Instrument;
  readonly d: Mass;
  /** Pours a share of the draw's target (out of the jar: onto the spoon). */
  pour(share: number, seconds?: number): Pour;
  /** Waits until so much of a pour has arrived, or all of it. */
  arrived(pour: Pour, share?: number): Promise<void>;
  /** What the station says now. */
  said(): string;
  /** Waits until something is so. */
  see(what: string, look: () => boolean): Promise<void>;
}

/** What goes wrong, and what the maker does when the words speak of it. */
export interface Mishap {
  /** When it comes: with half of the draw in (usual), or before any. */
  readonly strikesAt?: 'placed' | 'half';
  strike(hands: Hands): Promise<void>;
  /** What the words tell her to mend beside the ordinary. Called with each new sentence in a state of trouble. */
  heal?(said: string, hands: Hands): Promise<void> | void;
}

/** @param heard what the station has said so far, for failures */
export function handsAt(rig: HealthBench, draw: PlannedDraw, heard: () => readonly string[]): Hands {
  const { world, hand, instruments } = rig.bench;
  const instrument = instruments.get(draw.scale);
  if (!instrument) throw new Error(`no ${draw.scale} scale`);
  const vessel = world.vessel(draw.on);
  const see = async (what: string, look: () => boolean): Promise<void> => {
    await until(what, look, { seen: () => heard().join('\n') });
  };
  return {
    rig,
    draw,
    vessel,
    instrument,
    pan: world.pan(draw.scale),
    d: rig.station.snapshot().context.batch.plan.scales[draw.scale]?.d ?? ZERO,
    see,
    said: () => {
      const { headline, say } = wordsFor(rig.station.snapshot());
      return `${headline} ${say}`;
    },
    pour: (share, seconds = 0.5) => {
      const { from, to } =
        draw.way === 'subtract' ? { from: vessel, to: world.spoon } : { from: world.lot(draw.lot), to: vessel };
      const upTo = mass(Math.round(draw.target * share));
      return hand.pour({ from, to, upTo, gramsPerSecond: upTo / 1e6 / seconds });
    },
    arrived: (pour, share) =>
      see('end of the pour', () => pour.done || (share !== undefined && pour.arrived >= draw.target * share)),
  };
}
