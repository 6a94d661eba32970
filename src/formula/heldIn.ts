/** How much of an ingredient is in a material: all of it, or what the material is made of holds. For highest levels. */
import type { Composition, Workshop } from '../workshop/model.ts';
import { WHOLE } from './checkFormula.ts';
import { added, type Fraction, fraction, NONE, ONE, times } from './fraction.ts';

/**
 * The share of a material that is one of several ingredients, 0 to 1, exact: a stock solution of a dye of 1 % holds 1/100 of
 * the dye. What a material is made of is followed as deep as the workshop file may go.
 * @param id the material
 * @param wanted ids of ingredients
 * @param own what one lot of the material states of itself; it counts before the ingredient's
 */
export function heldIn(
  { ingredients }: Pick<Workshop, 'ingredients'>,
  id: string,
  wanted: readonly string[],
  own?: Composition,
): Fraction {
  const inside = (material: string, lot: Composition | undefined, above: readonly string[]): Fraction => {
    if (wanted.includes(material)) return ONE;
    // A file in which something is made of itself is refused; a workshop that was made otherwise must not hang.
    if (above.includes(material)) return NONE;
    const parts = lot?.madeOf ?? ingredients.get(material)?.madeOf ?? [];
    return parts.reduce((sum, part) => {
      if (!('of' in part)) return sum;
      const of = inside(part.of, undefined, [...above, material]);
      return added(sum, times(of, fraction(BigInt(part.ppm), BigInt(WHOLE))));
    }, NONE);
  };
  return inside(id, own, []);
}

/** Amounts of several materials, each times what it holds, added up. Exact. */
export function sumHeld(held: readonly { readonly amount: number; readonly holds: Fraction }[]): Fraction {
  return held.reduce((sum, { amount, holds }) => added(sum, times(fraction(BigInt(amount), 1n), holds)), NONE);
}

/**
 * A level against its limit, by the batch as weighed or once dried: `held / (total (1 - drying))`.
 * @param total of the batch, above zero, in the unit of `held`
 * @param dryingPpm 0 to 500 000
 */
export function levelOf(held: Fraction, total: bigint, dryingPpm: number): Fraction {
  return fraction(held.n * BigInt(WHOLE), held.d * total * BigInt(WHOLE - dryingPpm));
}

/** Whether a level passes so many parts per million. */
export function isAbove({ n, d }: Fraction, ppm: number): boolean {
  return n * BigInt(WHOLE) > BigInt(ppm) * d;
}
