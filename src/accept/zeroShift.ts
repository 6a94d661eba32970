/**
 * What it means for draws already accepted that the empty pan now shows its zero elsewhere: the scale has drifted, has
 * hidden slow additions by tracking its zero, or something lies on the pan.
 *
 * The empty pan shows that the zero moved, not when: before the vessel was put on, during one draw or another, or after
 * the last. So nothing is corrected. The whole shift is a bound for each draw: by so much at most it may be off.
 */
import type { Way } from '../formula/model.ts';
import { type Mass, mass, minus, size, ZERO } from '../mass/mass.ts';
import type { Certainty } from './budget.ts';
import { rectangular } from './uncertainty.ts';

/** An accepted draw, as far as a shift of the zero can touch it. */
export interface Touched {
  /** Expanded, as it was recorded. */
  readonly uncertainty: Mass;
  /** The least that stood on the pan meanwhile: the vessel at least. */
  readonly stood: Mass;
}

/** What moved the zero by more than this share of what stood there was a key (which moves it by all of that). */
const KEY_FROM = 0.5;

/** Whether a shift makes the draw doubtful: more than its recorded uncertainty covers, and no press of a key. */
export function isDoubtedBy(shift: Mass, touched: Touched): boolean {
  return size(shift) > touched.uncertainty && !isKey(shift, touched);
}

/** Whether a shift is a press of a key under the load: how far the zero drifted besides, it no longer tells. */
export function isKey(shift: Mass, { stood }: Pick<Touched, 'stood'>): boolean {
  return size(shift) >= KEY_FROM * stood;
}

/**
 * By how much, at most, the true net weight may differ from the written one: above zero where it may be more.
 * @param shift the empty pan's reading now, minus the one before
 */
export function doubtFrom(way: Way, shift: Mass): Mass {
  return way === 'subtract' ? shift : minus(ZERO, shift);
}

/**
 * A recorded budget with such a doubt in it: the drift is then bounded by the doubt (rectangular; JCGM 100, 4.3.7). The
 * coverage factor stays as it was recorded.
 */
export function withDoubt({ budget, uncertainty, coverage }: Certainty, doubt: Mass): Certainty {
  const drift = Math.max(budget.drift, rectangular(doubt));
  const added = coverage * Math.sqrt(drift ** 2 - budget.drift ** 2);
  return {
    budget: { ...budget, drift: mass(Math.ceil(drift)) },
    uncertainty: mass(Math.ceil(Math.hypot(uncertainty, added))),
    coverage,
  };
}
