/** The highest levels of ingredients in the batch as it will be. */
import { WHOLE } from '../formula/checkFormula.ts';
import type { Ceiling } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import { grams, percentOf } from '../plan/inWords.ts';
import type { Refusal } from '../plan/model.ts';
import type { Line } from './lines.ts';

/** How much of a line will be in: what is in and stays, or its target. */
export interface WillBe {
  readonly line: Line;
  readonly amount: Mass;
}

/** Refusals for every level that would be passed. Compared as exact fractions. */
export function overCeilings(batch: readonly WillBe[], ceilings: readonly Ceiling[]): Refusal[] {
  const total = batch.reduce((sum, { amount }) => sum + BigInt(amount), 0n);
  return ceilings.flatMap(({ ingredients, ppm, dryingPpm, why }): Refusal[] => {
    const counted = batch.filter(({ line }) => ingredients.includes(line.ingredient.id));
    const amount = counted.reduce((sum, each) => sum + BigInt(each.amount), 0n);
    // amount / (total (1 - drying)) > ppm / 1e6
    const kept = BigInt(WHOLE - dryingPpm);
    if (amount * BigInt(WHOLE) * BigInt(WHOLE) <= BigInt(ppm) * total * kept) return [];
    const names = [...new Set(counted.map(({ line }) => line.ingredient.name))].join(' and ');
    const share = Number(amount) / (Number(total) * (1 - dryingPpm / WHOLE));
    const dried = dryingPpm > 0 ? ' once dried' : '';
    return [
      {
        where: counted[0]?.line.id ?? null,
        why: `${names}: ${grams(Number(amount) as Mass)} would be ${percentOf(share)} of the batch${dried}, and ${percentOf(ppm / WHOLE)} is the most (${why}).`,
        instead: null,
      },
    ];
  });
}
