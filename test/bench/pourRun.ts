/** One simulated pour onto a lagging scale, through the real signal, whoever tells the hand its pace. */
import { type Mass, mass, minus } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import { type SignalConfig, STILL, step } from '../../src/signal/signal.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import type { Random } from '../../src/simulate/seededRandom.ts';
import { createPouringHand, type HandKind } from './pourHand.ts';
import type { Pace, Stuff } from './pourStuff.ts';

export interface PourScale {
  readonly d: Mass;
  readonly capacity: Mass;
  readonly lagMs: number;
}

export interface Band {
  readonly low: Mass;
  readonly target: Mass;
  readonly high: Mass;
}

/** Tells the hand what to do, from what the scale says. */
export interface Guide {
  /** @param net what is shown, less the vessel; `resting`: the signal says that the pan is at rest */
  look(at: number, net: Mass, resting: boolean): Pace;
  /** The pan has stood at rest for the dwell time after the hand stopped. */
  rested(at: number, net: Mass): void;
}

export interface Poured {
  /** Settled net where it ended: the first rest that is not under the band. null: none in a patient time. */
  readonly net: Mass | null;
  readonly isOver: boolean;
  /** From the first move of the hand to the beginning of that rest, milliseconds. */
  readonly ms: number;
}

const VESSEL = 200_000_000;
const LONGEST_MS = 240_000;

/** Runs a pour until the pan rests in the band or above it. */
export function pourOnce(
  guide: Guide,
  { kind, stuff, scale, band }: { kind: HandKind; stuff: Stuff; scale: PourScale; band: Band },
  random: Random,
): Poured {
  const hand = createPouringHand(kind, stuff, random);
  const loadAt = (at: number): Mass => mass(VESSEL + Math.round(hand.poured(at)));
  const { d, capacity, lagMs } = scale;
  const instrument = createInstrument({ d, capacity, lagMs, noise: mass(Math.round(d / 5)) }, loadAt, random);
  const config: SignalConfig = {
    scale: 'sim',
    d,
    repeatability: undefined,
    rhythm: 'continuous',
    linesPerSecond: 10,
    unit: 'g',
    dwellMs: 1500,
  };
  let state = STILL;
  let begunAt: number | undefined;
  let wasTold = true;
  for (let now = 100; now < LONGEST_MS; now += 100) {
    for (const { at, number, unit, stable } of instrument.advance(now)) {
      const reading = { mass: toMicrograms(number.digits, number.scale, unit), unit, stable, at, raw: '' };
      state = step(state, { kind: 'reading', reading }, config).state;
      const resting = state.level !== undefined;
      const net = minus(state.level?.gross ?? reading.mass, mass(VESSEL));
      if (begunAt === undefined) {
        if (!resting) continue;
        begunAt = at;
      } else if (state.level?.dwelt && hand.stopped && !wasTold) {
        guide.rested(at, net);
        wasTold = true;
        if (net >= band.low) return { net, isOver: net > band.high, ms: state.level.since - begunAt };
      }
      if (!resting) wasTold = false;
      hand.mean(guide.look(at, net, resting));
    }
  }
  return { net: null, isOver: false, ms: LONGEST_MS };
}
