/** Stock never goes below zero without a word: where more comes out of a lot than the book has, that is a fact too. */
import type { Happened } from '../facts/fact.ts';
import { type Mass, plus, ZERO } from '../mass/mass.ts';
import { lotKey } from './lotStock.ts';
import { type Move, shortBy } from './moves.ts';

/** What happened, with the move that it makes; undefined when it moves nothing. */
export interface Moving {
  readonly happened: Happened;
  readonly move: Omit<Move, 'seq'> | undefined;
}

/**
 * What is to be recorded, with a `lot-short` right after each fact that takes more than there should be.
 * @param leftOf what the book has in a lot before all this
 */
export function withShortfalls(
  moving: readonly Moving[],
  leftOf: (ingredient: string, lot: string) => Mass,
): Happened[] {
  const left = new Map<string, Mass>();
  return moving.flatMap(({ happened, move }): Happened[] => {
    if (!move) return [happened];
    const { ingredient, lot, change, ends } = move;
    const key = lotKey(ingredient, lot);
    const book = left.get(key) ?? leftOf(ingredient, lot);
    const after = ends ? ZERO : plus(book, change);
    const short = shortBy(after);
    left.set(key, plus(after, short));
    if (short === 0 || change >= 0 || !('draw' in happened) || happened.draw === null) return [happened];
    return [happened, { kind: 'lot-short', draw: happened.draw, ingredient, lot, book, short }];
  });
}
