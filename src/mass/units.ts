/**
 * Units of mass, each as an exact fraction of micrograms.
 *
 * Source: the international yard and pound agreement of 1959 as fixed in NIST Handbook 44, appendix C, and in UCUM:
 * 1 lb = 453.59237 g exactly, 1 lb = 16 oz = 7000 gr. Troy weight by the same grain: 1 dwt = 24 gr, 1 troy ounce (ozt)
 * = 480 gr. The metric carat (ct) is 200 mg.
 */

import { type Mass, mass } from './mass.ts';
import { divideRounded, type Rounding } from './rounding.ts';

/** The units that a scale may show and a file may use. */
export type Unit = 'kg' | 'g' | 'mg' | 'lb' | 'oz' | 'gr' | 'ct' | 'dwt' | 'ozt';

/** Micrograms in one unit: `numerator / denominator`. */
export const MICROGRAMS_IN: Readonly<Record<Unit, { numerator: bigint; denominator: bigint }>> = {
  kg: { numerator: 1_000_000_000n, denominator: 1n },
  g: { numerator: 1_000_000n, denominator: 1n },
  mg: { numerator: 1_000n, denominator: 1n },
  lb: { numerator: 453_592_370n, denominator: 1n },
  oz: { numerator: 453_592_370n, denominator: 16n },
  gr: { numerator: 453_592_370n, denominator: 7000n },
  ct: { numerator: 200_000n, denominator: 1n },
  dwt: { numerator: 453_592_370n * 24n, denominator: 7000n },
  ozt: { numerator: 453_592_370n * 480n, denominator: 7000n },
};

/** Whether a word is one of our units. */
export function isUnit(word: string): word is Unit {
  return Object.hasOwn(MICROGRAMS_IN, word);
}

/**
 * `digits * 10^-scale` of a unit, in whole micrograms, rounded once.
 * @throws RangeError when the result does not fit a Mass
 */
export function toMicrograms(digits: bigint, scale: number, unit: Unit, rounding: Rounding = 'half-even'): Mass {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  const ug = divideRounded(digits * numerator, denominator * 10n ** BigInt(scale), rounding);
  if (ug > BigInt(Number.MAX_SAFE_INTEGER) || ug < -BigInt(Number.MAX_SAFE_INTEGER)) {
    throw new RangeError('this mass is too large to be kept exactly (more than 9 007 t)');
  }
  return mass(Number(ug));
}

/** A mass as `digits * 10^-scale` of a unit, rounded once to `scale` decimals. */
export function fromMicrograms(of: Mass, scale: number, unit: Unit, rounding: Rounding = 'half-even'): bigint {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  return divideRounded(BigInt(of) * denominator * 10n ** BigInt(scale), numerator, rounding);
}
