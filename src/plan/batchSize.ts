/** How much a batch weighs before anything is lost. */
import type { Formula } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';

/** What was asked for: a number of bars, or a mass as weighed; undefined for the formula's usual batch. */
export type BatchSize = { readonly bars: number } | { readonly mass: Mass } | undefined;

export interface SizedBatch {
  /** All that is weighed. */
  readonly mass: Mass;
  /** Whole bars that it gives, 1 or more; null for a craft without bars, and for less than one. */
  readonly bars: number | null;
}

/** What of a formula tells its sizes. */
type Sized = Pick<Formula, 'bar' | 'bars' | 'batch' | 'lossPpm'>;

const MILLION = 1_000_000n;

/**
 * What must be weighed for a number of bars: `bars * bar / (1 - loss)`, to the nearest microgram (ties to even).
 * Dividing by what remains is meant; adding the loss on top would leave the last bar short.
 * @param lossPpm share lost between weighing and pressing, parts per million, 0 to 999 999
 */
export function massForBars(bars: number, bar: Mass, lossPpm: number): Mass {
  const kept = MILLION - BigInt(lossPpm);
  return mass(Number(divideRounded(BigInt(bars) * BigInt(bar) * MILLION, kept, 'half-even')));
}

/** Bars that a mass as weighed gives; `down` counts whole bars only, `up` the bars that reach it. */
export function barsFrom(weighed: Mass, bar: Mass, lossPpm: number, rounding: 'down' | 'up'): number {
  const kept = MILLION - BigInt(lossPpm);
  return Number(divideRounded(BigInt(weighed) * kept, BigInt(bar) * MILLION, rounding));
}

/**
 * The mass of a batch.
 * @returns a sentence where the size can't be worked out
 */
export function sizeBatch(formula: Sized, asked: BatchSize): SizedBatch | { readonly why: string } {
  const size = asked ?? usualSize(formula);
  if (size === undefined) return { why: 'The formula names no usual batch, so the size must be given.' };
  if ('bars' in size) {
    if (formula.bar === undefined) return { why: 'The formula makes no bars, so the size must be a mass.' };
    if (!Number.isSafeInteger(size.bars) || size.bars < 1 || size.bars > 100_000) {
      return { why: 'The number of bars must be a whole number from 1.' };
    }
    return { mass: massForBars(size.bars, formula.bar, formula.lossPpm), bars: size.bars };
  }
  if (size.mass <= 0) return { why: 'The mass of a batch must be above zero.' };
  return { mass: size.mass, bars: wholeBarsOf(size.mass, formula.bar, formula.lossPpm) };
}

/**
 * Whole bars of a mass: the mass for a number of bars gives that number back, though it was rounded to the microgram.
 * @returns null for less than one bar, and where the formula makes none
 */
export function wholeBarsOf(weighed: Mass, bar: Mass | undefined, lossPpm: number): number | null {
  if (bar === undefined) return null;
  const below = barsFrom(weighed, bar, lossPpm, 'down');
  const bars = massForBars(below + 1, bar, lossPpm) <= weighed ? below + 1 : below;
  return bars === 0 ? null : bars;
}

function usualSize({ bars, batch }: Sized): BatchSize {
  if (bars !== undefined) return { bars };
  return batch === undefined ? undefined : { mass: batch };
}
