/** What a batch has taken from each lot so far, waste included; a lot that was found empty has nothing left. */
import type { Fact } from '../facts/fact.ts';
import { minus, ZERO } from '../mass/mass.ts';
import { leftOf, type Move, moved, movesOf, UNTOUCHED } from '../stock/moves.ts';
import type { Workshop } from '../workshop/model.ts';
import type { Used } from './model.ts';

/**
 * @param facts all facts of the batch, in order
 * @param workshop with the lots as the book had them when the batch began
 */
export function stockUsed(facts: readonly Fact[], workshop: Workshop): Used {
  const byLot = new Map<string, Move[]>();
  for (const move of movesOf(facts)) {
    const key = `${move.ingredient} ${move.lot}`;
    byLot.set(key, [...(byLot.get(key) ?? []), move]);
  }
  return new Map(
    [...byLot].map(([key, moves]) => {
      const { ingredient, lot } = moves[0] ?? { ingredient: '', lot: '' };
      const book = workshop.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot)?.onHand ?? ZERO;
      return [key, minus(book, leftOf(moves.reduce(moved, UNTOUCHED), book))];
    }),
  );
}
