/** One trouble that a scale makes in the middle of a draw, and what its tests share. */
import { setTimeout as pause } from 'node:timers/promises';
import { type Mass, mass } from '../../src/mass/mass.ts';
import type { InstrumentSettings } from '../../src/simulate/instrument.ts';
import type { HealthBench, Speech } from './healthBench.ts';
import type { Next } from './healthFormula.ts';
import type { Hands, Mishap } from './healthHands.ts';

export interface HealthCase extends Mishap {
  readonly name: string;
  /** What the station must have said. */
  readonly tells: RegExp;
  readonly next?: Next;
  /** Nobody can see it before the pan is empty: the draw is marked doubtful then, by as much as the zero has moved. */
  readonly marks?: true;
  readonly speaks?: Speech;
  readonly instrument?: Partial<InstrumentSettings>;
  /** What stands on the bench before the batch is begun. */
  readonly prepare?: (rig: HealthBench) => void;
}

export const grams = (of: number): Mass => mass(Math.round(of * 1e6));

/** Something happens while about a third of the draw runs in. */
export async function midPour(hands: Hands, happen: () => Promise<void> | void): Promise<void> {
  const pour = hands.pour(0.3);
  await hands.arrived(pour, 0.15);
  await happen();
  await hands.arrived(pour);
}

/** Its power goes for so long that a reading or two are missed, but no silence is. */
export async function powerCut({ instrument }: Hands): Promise<void> {
  instrument.pressOff();
  await pause(120);
  instrument.pressOn();
}

/** Any word by which the maker is asked to look at the pan. */
export const ASKED = /^(LIFT|ZERO|WIPE|CHECK|PUT BACK|STOP|UNIT)/;

/** She sees that the number is not what it was, and waits for a word. */
export const askedFor = ({ see, rig }: Hands) =>
  see('word on it', () => rig.station.snapshot().matches('placing') || rig.station.snapshot().matches('blind'));
