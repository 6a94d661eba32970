/**
 * The formula's highest levels, held against what is really in. Legal maxima mean the product ready for use, so a level
 * is of the dried bar wherever its limit says how much it dries; the ingredient list goes by weight as added.
 */
import type { Ceiling } from '../formula/model.ts';
import { divideRounded } from '../mass/rounding.ts';
import type { Workshop } from '../workshop/model.ts';
import type { Material } from './amounts.ts';

export interface Level {
  readonly names: readonly string[];
  /** What is in, parts per million of the mix as added or dried, rounded up. */
  readonly ppm: number;
  readonly mostPpm: number;
  /** 0 for a level as added. */
  readonly dryingPpm: number;
  readonly why: string;
  readonly over: boolean;
}

const MILLION = 1_000_000n;

/** Levels in the order of the formula. Compared as exact fractions. */
export function levelsOf(materials: readonly Material[], limits: readonly Ceiling[], workshop: Workshop): Level[] {
  const sum = (of: readonly Material[]) => of.reduce((all, { amount }) => all + BigInt(amount), 0n);
  const total = sum(materials);
  if (total === 0n) return [];
  return limits.map(({ ingredients, ppm, dryingPpm, why }) => {
    const weighed = sum(materials.filter(({ ingredient }) => ingredients.includes(ingredient))) * MILLION * MILLION;
    const kept = total * (MILLION - BigInt(dryingPpm));
    return {
      names: ingredients.map((id) => workshop.ingredients.get(id)?.name ?? id),
      ppm: Number(divideRounded(weighed, kept, 'up')),
      mostPpm: ppm,
      dryingPpm,
      why,
      over: weighed > BigInt(ppm) * kept,
    };
  });
}
