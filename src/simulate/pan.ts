/** A pan: what truly rests on it. */
import { type Mass, plus, sumOf, ZERO } from '../mass/mass.ts';
import { grossOf, type Holder } from './holder.ts';

export interface Pan {
  readonly id: string;
  /** What stands on it. */
  readonly standing: Set<Holder>;
  /** A bare weight on it, e.g. a check weight. */
  bare: Mass;
  /** What a hand or a draught presses on it (or lifts, when negative). */
  pressed: Mass;
}

export function createPan(id: string): Pan {
  return { id, standing: new Set(), bare: ZERO, pressed: ZERO };
}

/** The true load. */
export function loadOf(pan: Pan): Mass {
  return plus(sumOf([...pan.standing].map(grossOf)), pan.bare, pan.pressed);
}
