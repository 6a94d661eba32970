/** Which vessel stands on the pan? Told by its weight. */

import type { Way } from '../formula/model.ts';
import { lesser, type Mass, mass, minus, plus, size, ZERO } from '../mass/mass.ts';

/** What the pan should show when the right vessel is on it. */
export interface Expected {
  readonly load: Mass;
  /** How far off it may be and still be that vessel. */
  readonly within: Mass;
}

interface ScaleStep {
  readonly d: Mass;
  readonly repeatability: Mass | null;
}

/** A vessel weighed before in this batch must show the same again, but for the scale's own scatter. */
export function sameAsBefore(load: Mass, { d, repeatability }: ScaleStep): Expected {
  return { load, within: mass(3 * d + 4 * (repeatability ?? 0)) };
}

/** A cup used before in this batch: as it was left, or wiped out since, or anything from one to the other. */
export function usedCup(left: Mass, tare: Mass, step: ScaleStep): Expected {
  const clean = usualTare(tare, step);
  const low = lesser(minus(clean.load, clean.within), left);
  const high = plus(left, sameAsBefore(left, step).within);
  const load = mass(Math.round((low + high) / 2));
  return { load, within: minus(high, load) };
}

/** A vessel that another was emptied into: what stuck to the other one is not known (a few percent; common practice, no source). */
export function roughly(load: Mass, content: Mass, { d }: ScaleStep): Expected {
  return { load, within: mass(5 * d + Math.round(content * 0.05)) };
}

/** A clean vessel against the tare in the workshop file: five intervals or half a percent. */
export function usualTare(tare: Mass, { d }: ScaleStep): Expected {
  return { load: tare, within: mass(Math.max(5 * d, Math.round(tare * 0.005))) };
}

/** A stock jar against its tare and the book: the book may be off by some percent of the content. */
export function stockJar(tare: Mass, onHand: Mass, step: ScaleStep): Expected {
  const jar = usualTare(tare, step);
  return { load: plus(tare, onHand), within: plus(jar.within, mass(Math.round(onHand * 0.03))) };
}

/** Whether a load is the expected vessel. */
export function isExpected(load: Mass, { load: expected, within }: Expected): boolean {
  return size(minus(load, expected)) <= within;
}

/** Net weight of a draw: what came in (add, cup) or was taken out (subtract) since its vessel was placed. */
export function netOf(way: Way, base: Mass, load: Mass): Mass {
  return way === 'subtract' ? minus(base, load) : minus(load, base);
}

/**
 * Whether a vessel put back in the middle of a draw can be the one that the draw began with: no less in it than at
 * the beginning, and not absurdly more than wanted.
 */
export function canBeTheSame(net: Mass, target: Mass, step: ScaleStep): boolean {
  const slack = sameAsBefore(ZERO, step).within;
  return net >= -slack && net <= plus(target, target, mass(20 * step.d));
}
