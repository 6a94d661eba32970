/** The highest levels of ingredients in the batch as it will be. */
import { WHOLE } from '../formula/checkFormula.ts';
import { heldIn, isAbove, levelOf, sumHeld } from '../formula/heldIn.ts';
import type { Ceiling } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';
import { grams, percentOf } from '../plan/inWords.ts';
import type { Refusal } from '../plan/model.ts';
import type { Workshop } from '../workshop/model.ts';
import type { Line } from './lines.ts';

/** How much of a line will be in: what is in and stays, or its target. */
export interface WillBe {
  readonly line: Line;
  readonly amount: Mass;
}

/** Refusals for every level that would be passed, with what came in as part of others. Compared as exact fractions. */
export function overCeilings(
  batch: readonly WillBe[],
  ceilings: readonly Ceiling[],
  workshop: Pick<Workshop, 'ingredients'>,
): Refusal[] {
  const total = batch.reduce((sum, { amount }) => sum + BigInt(amount), 0n);
  return ceilings.flatMap(({ ingredients, ppm, dryingPpm, why }): Refusal[] => {
    const counted = batch
      .map(({ line, amount }) => ({ line, amount, holds: heldIn(workshop, line.ingredient.id, ingredients) }))
      .filter(({ holds }) => holds.n > 0n);
    const held = sumHeld(counted);
    const level = levelOf(held, total, dryingPpm);
    if (!isAbove(level, ppm)) return [];
    const names = [...new Set(counted.map(({ line }) => line.ingredient.name))].join(' and ');
    const much = mass(Number(divideRounded(held.n, held.d, 'half-even')));
    const share = Number(level.n) / Number(level.d);
    const dried = dryingPpm > 0 ? ' once dried' : '';
    return [
      {
        where: counted[0]?.line.id ?? null,
        why: `${names}: ${grams(much)} would be ${percentOf(share)} of the batch${dried}, and ${percentOf(ppm / WHOLE)} is the most (${why}).`,
        instead: null,
      },
    ];
  });
}
