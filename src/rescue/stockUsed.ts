/** What a batch has taken from each lot so far, waste included; a lot that was found empty has nothing left. */
import type { Fact } from '../facts/fact.ts';
import { standingFacts } from '../facts/undo.ts';
import { type Mass, mass, ZERO } from '../mass/mass.ts';
import type { Workshop } from '../workshop/model.ts';
import type { Used } from './model.ts';

/**
 * @param facts all facts of the batch, in order
 * @param workshop with the lots as the book had them when the batch began
 */
export function stockUsed(facts: readonly Fact[], workshop: Workshop): Used {
  const used = new Map<string, Mass>();
  const accepted = new Map<string, { readonly ingredient: string; readonly net: Mass }>();
  const take = (ingredient: string, lot: string, amount: number) => {
    const key = `${ingredient} ${lot}`;
    used.set(key, mass((used.get(key) ?? ZERO) + amount));
  };
  for (const fact of standingFacts(facts)) {
    if (fact.kind === 'weighed') {
      // What was too much in a vessel or cup is waste; on the spoon it went back into the jar.
      take(fact.ingredient, fact.lot, fact.net + (fact.way === 'subtract' ? 0 : fact.takenBack));
      accepted.set(fact.draw, fact);
      const book = workshop.ingredients.get(fact.ingredient)?.lots.find(({ id }) => id === fact.lot)?.onHand ?? ZERO;
      if (fact.lotEnded) used.set(`${fact.ingredient} ${fact.lot}`, book);
    } else if (fact.kind === 'discarded' && !accepted.delete(fact.draw)) {
      // What was accepted before it was thrown away is counted already.
      const ingredient = ingredientOf(facts, fact.draw);
      if (ingredient !== undefined) take(ingredient, fact.lot, fact.amount);
    } else if (fact.kind === 'given-up') {
      for (const draw of fact.draws) accepted.delete(draw);
    }
  }
  return used;
}

function ingredientOf(facts: readonly Fact[], draw: string): string | undefined {
  for (const fact of facts) {
    if (fact.kind !== 'batch-started' && fact.kind !== 'rescued') continue;
    const task = fact.plan.tasks.find((each) => each.kind === 'draw' && each.id === draw);
    if (task?.kind === 'draw') return task.ingredient;
  }
  return undefined;
}
