/** The step of a scale's display in each unit that it can show. */
import type { Mass } from '../mass/mass.ts';
import { MICROGRAMS_IN, type Unit } from '../mass/units.ts';

export interface Interval {
  /** The step is `digits * 10^-scale` of the unit. */
  readonly digits: number;
  readonly scale: number;
  /** The step in micrograms; not whole in units such as the ounce. */
  readonly micrograms: number;
}

/**
 * The smallest step of 1, 2 or 5 times a power of ten of a unit that is not finer than *d*, the form
 * that scale intervals take (OIML R 76-1).
 */
export function intervalIn(unit: Unit, d: Mass): Interval {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  const one = Number(numerator) / Number(denominator);
  for (let exponent = -9; ; exponent++) {
    for (const form of [1, 2, 5]) {
      const digits = form * 10 ** Math.max(0, exponent);
      const scale = Math.max(0, -exponent);
      const micrograms = (one * digits) / 10 ** scale;
      if (micrograms >= d * (1 - 1e-9)) return { digits, scale, micrograms };
    }
  }
}
