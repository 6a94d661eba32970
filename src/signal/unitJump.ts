/**
 * A display whose unit is not sent can change its unit without a word: then the number jumps by the ratio of two units
 * while nothing on the pan has moved.
 */
import type { Mass } from '../mass/mass.ts';
import { MICROGRAMS_IN, type Unit } from '../mass/units.ts';

/** Below so many intervals a number is too coarse to tell a ratio by. */
const LEAST_INTERVALS = 100;
/** How near to the ratio the jump must be, beyond the rounding of both numbers. */
const WITHIN = 0.002;

/**
 * The unit that a display seems to have changed to, from one reading to the next; undefined when it is no such jump.
 * @param unit the unit that the numbers are taken to be in
 * @param before at rest, loaded
 * @param after the very next reading
 */
export function unitJump(before: Mass, after: Mass, unit: Unit, d: Mass): Unit | undefined {
  if (Math.abs(before) < LEAST_INTERVALS * d || after === 0 || Math.sign(before) !== Math.sign(after)) return undefined;
  const seen = after / before;
  const rounding = d / 2 / Math.abs(before) + d / 2 / Math.abs(after);
  const home = gramsIn(unit);
  for (const other of Object.keys(MICROGRAMS_IN) as Unit[]) {
    if (other === unit) continue;
    const expected = home / gramsIn(other);
    if (Math.abs(seen / expected - 1) <= WITHIN + rounding) return other;
  }
  return undefined;
}

function gramsIn(unit: Unit): number {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  return Number(numerator) / Number(denominator);
}
