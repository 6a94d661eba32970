/** Numbers of a plan as a sentence has them. */
import type { Formula, Measure } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import type { Scale } from '../workshop/model.ts';
import { barsFrom } from './batchSize.ts';

/** Grams to the milligram: `0.742 g`. */
export function grams(of: Mass, decimals = 3): string {
  return `${printMass(of, { decimals })} g`;
}

/** A load as a scale would show it. */
export function loadOn(scale: Scale, load: Mass): string {
  return `${printMass(load, { decimals: decimalsOf(scale.d) })} g`;
}

/** A capacity without needless zeros: `5000 g`. */
export function wholeGrams(of: Mass): string {
  return `${printMass(of, { decimals: of % 1_000_000 === 0 ? 0 : decimalsOf(of) })} g`;
}

/** A least amount, rounded up to a tenth of the scale interval, so that it is never promised too low. */
export function leastOn(scale: Scale, least: Mass): string {
  return `${printMass(least, { decimals: Math.min(decimalsOf(scale.d) + 1, 6), rounding: 'up' })} g`;
}

/** A relative tolerance as percent: `2 %`, `1.35 %`. */
export function percentOf(share: number): string {
  return `${Number((share * 100).toPrecision(3))} %`;
}

/**
 * A batch size that works, rounded to the safe side, with its bars where the craft has some.
 * @param bound `least`: this or more works, so it is rounded up; `most`: this or less, rounded down
 */
export function batchOf(size: Mass, bound: 'least' | 'most', { bar, lossPpm }: Formula): string {
  const rounding = bound === 'least' ? 'up' : 'down';
  const text =
    size >= 10_000_000_000
      ? `${printMass(size, { unit: 'kg', decimals: 1, rounding })} kg`
      : `${printMass(size, { decimals: size < 100_000_000 ? 1 : 0, rounding })} g`;
  if (bar === undefined) return text;
  const bars = barsFrom(size, bar, lossPpm, rounding);
  return bars === 0 ? text : `${text} (${bars} ${bars === 1 ? 'bar' : 'bars'})`;
}

/** A batch scaled by `numerator / denominator`, as whole micrograms; undefined when past all measure. */
export function scaledBatch(batch: Mass, numerator: number, denominator: number): Mass | undefined {
  const size = Math.floor((batch / denominator) * numerator);
  return Number.isSafeInteger(size) && size > 0 ? mass(size) : undefined;
}

/** `wanted 5.0 to 5.6` */
export function windowInWords({ from, to }: Measure): string {
  return from === to ? `wanted ${from}` : `wanted ${from} to ${to}`;
}

/** `pH, wanted 5.0 to 5.6` */
export function wantedInWords(measure: Measure): string {
  return `${measure.what}, ${windowInWords(measure)}`;
}
