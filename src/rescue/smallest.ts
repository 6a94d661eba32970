/**
 * The arithmetic of a scale-up: how large the batch must be at least, so that nothing that is in is too much. Exact,
 * in whole micrograms.
 *
 * Common practice: k = max a / t, a being what is in and t its target; by the bands k = max a / high.
 */
import { WHOLE, wholeOf } from '../formula/checkFormula.ts';
import type { Tolerance } from '../formula/model.ts';
import { greater, type Mass, mass } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';
import { judgedBand } from '../plan/plannedBand.ts';
import type { Scale } from '../workshop/model.ts';
import { judgingScale, type Line } from './lines.ts';
import type { Meant, RescueInput } from './model.ts';

/**
 * The smallest target whose band on a scale reaches up to an amount. The top of a band never falls while the target
 * grows (the guard only drops out), so halving finds it.
 */
export function leastTargetWithin(amount: Mass, tolerance: Tolerance, scale: Scale, weighings: number): Mass {
  const reaches = (target: number) => judgedBand(mass(target), tolerance, scale, weighings).high >= amount;
  let tooSmall = 0;
  // Whatever the guard: with it and one interval more, the band surely reaches.
  let enough =
    amount +
    2 * Math.ceil(judgedBand(amount, tolerance, scale, weighings).uncertainty * Math.sqrt(weighings)) +
    scale.d;
  while (enough - tooSmall > 1) {
    const middle = Math.floor((tooSmall + enough) / 2);
    if (reaches(middle)) enough = middle;
    else tooSmall = middle;
  }
  return mass(enough);
}

/** The smallest batch in which a share out of `whole` comes to at least a target: `target / share`, rounded up. */
export function leastBatch(target: Mass, share: number, whole: number = WHOLE): Mass {
  return mass(Number(divideRounded(BigInt(target) * BigInt(whole), BigInt(share), 'up')));
}

export interface Least {
  readonly mass: Mass;
  /** The line that asks for so much; undefined when nothing is too much. */
  readonly setBy: Line | undefined;
}

/**
 * The smallest size of the batch at which nothing that is in is too much. Never below what it is now, and large enough
 * that no target gets smaller in the rounding.
 */
export function leastSize(input: RescueInput, lines: readonly Line[], meant: Meant): Least {
  let least: Least = { mass: input.state.plan.mass, setBy: undefined };
  for (const line of lines) {
    const scale = judgingScale(input, line);
    if (line.parts.length === 0 || !scale) continue;
    const within = leastTargetWithin(line.amount, line.draw.tolerance, scale, line.parts.length);
    const target = meant === 'exact' ? greater(line.amount, within) : within;
    const size = leastBatch(target, line.draw.share, wholeOf(input.formula));
    if (size > least.mass && target > line.target) least = { mass: size, setBy: line };
  }
  return { ...least, mass: mass(Math.max(least.mass, leastWithoutLoss(lines, wholeOf(input.formula)))) };
}

/** The smallest batch in which the whole share of every line, before rounding, is no less than its target now. */
export function leastWithoutLoss(lines: readonly Line[], whole: number = WHOLE): Mass {
  return mass(Math.max(...lines.map(({ target, draw }) => leastBatch(target, draw.share, whole))));
}
