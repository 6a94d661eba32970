/** Whether a larger size would only meet the same trouble, so that none needs to be tried. */
import type { Mass } from '../mass/mass.ts';
import { isUsable } from '../plan/lots.ts';
import type { Walk } from '../plan/walk.ts';
import type { Grown } from './growLine.ts';
import type { RescueInput } from './model.ts';

/** Ingredients of which the lots in date don't hold what is still to be weighed. */
function isShort(input: RescueInput, taken: ReadonlyMap<string, Mass>, grown: readonly Grown[]): boolean {
  const need = new Map<string, number>();
  for (const { line, needs } of grown) need.set(line.ingredient.id, (need.get(line.ingredient.id) ?? 0) + needs);
  return [...need].some(([id, wanted]) => {
    const lots = input.workshop.ingredients.get(id)?.lots ?? [];
    const onHand = lots
      .filter((lot) => isUsable(lot, input.today))
      .reduce((sum, lot) => sum + Math.max(0, lot.onHand - (taken.get(`${id} ${lot.id}`) ?? 0)), 0);
    return wanted > onHand;
  });
}

/**
 * Whether a draw is stopped by load and room alone. Only where its lot is one without a jar is it sure to stay so: with
 * several lots or jars, a larger amount may be divided otherwise.
 */
function isTooHeavy(
  { workshop, today }: RescueInput,
  taken: ReadonlyMap<string, Mass>,
  walk: Walk,
  grown: readonly Grown[],
) {
  return walk.refusals.some(({ where, worseWithMore }) => {
    const ingredient = grown.find(({ line }) => line.id === where)?.line.ingredient;
    if (!worseWithMore || !ingredient) return false;
    const { lots } = workshop.ingredients.get(ingredient.id) ?? ingredient;
    const left = (id: string) => taken.get(`${ingredient.id} ${id}`) ?? 0;
    const usable = lots.filter((lot) => isUsable(lot, today) && lot.onHand > left(lot.id));
    return usable.length === 1 && usable[0]?.jar === undefined;
  });
}

/** @param taken what had left the lots before this size was tried */
export function isHopeless(
  input: RescueInput,
  taken: ReadonlyMap<string, Mass>,
  walk: Walk,
  grown: readonly Grown[],
): boolean {
  return isShort(input, taken, grown) || walk.overfull.size > 0 || isTooHeavy(input, taken, walk, grown);
}
