/**
 * The formula's highest levels, held against what is really in. Legal maxima mean the product ready for use, so a level
 * is of the dried bar wherever its limit says how much it dries; the ingredient list goes by weight as added.
 */
import { WHOLE } from '../formula/checkFormula.ts';
import { heldIn, isAbove, levelOf, sumHeld } from '../formula/heldIn.ts';
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

/** Levels in the order of the formula, with what came in as part of other materials. Compared as exact fractions. */
export function levelsOf(materials: readonly Material[], limits: readonly Ceiling[], workshop: Workshop): Level[] {
  const total = materials.reduce((all, { amount }) => all + BigInt(amount), 0n);
  if (total === 0n) return [];
  return limits.map(({ ingredients, ppm, dryingPpm, why }) => {
    const held = sumHeld(
      materials.map(({ ingredient, lot, amount }) => {
        const own = workshop.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot);
        return { amount, holds: heldIn(workshop, ingredient, ingredients, own) };
      }),
    );
    const level = levelOf(held, total, dryingPpm);
    return {
      names: ingredients.map((id) => workshop.ingredients.get(id)?.name ?? id),
      ppm: Number(divideRounded(level.n * BigInt(WHOLE), level.d, 'up')),
      mostPpm: ppm,
      dryingPpm,
      why,
      over: isAbove(level, ppm),
    };
  });
}
