/** How much of each material is in the mix: really, by a batch's facts, or by the formula. */
import { stateOf } from '../facts/apply.ts';
import { cleanText } from '../facts/cleanText.ts';
import { stuckOf } from '../facts/combine.ts';
import type { Fact } from '../facts/fact.ts';
import type { Formula } from '../formula/model.ts';
import { sumOf } from '../mass/mass.ts';
import type { Workshop } from '../workshop/model.ts';

/** A material as it is bought, and how much of it counts. */
export interface Material {
  /** Its id in the workshop. */
  readonly ingredient: string;
  readonly name: string;
  /** undefined where no lot is chosen yet. */
  readonly lot: string | undefined;
  readonly inci: string;
  /** Not negative. Micrograms of a batch, or shares of a formula: only the proportions matter. */
  readonly amount: number;
}

/**
 * What reached the mix: the bowl's amount of each draw, less what stuck to vessels on the way. An ingredient list goes by
 * weight as added (Reg. (EC) 1223/2009, Art. 19(1)(g)), so what was lost later, by drying or in the press, is still in.
 * Draws that were given up or taken back are not in.
 * @param facts all facts of the batch, in order
 */
export function usedAmounts(facts: readonly Fact[]): Material[] {
  const state = stateOf(facts);
  return state.plan.tasks.flatMap((task): Material[] => {
    if (task.kind !== 'draw') return [];
    const bowl = state.draws[task.id]?.bowl ?? 0;
    const amount = Math.max(0, bowl - stuckOf(state, task.id));
    const { ingredient, name, lot, inci } = task;
    return amount === 0 ? [] : [{ ingredient, name, lot, inci, amount }];
  });
}

/** Draws of a batch whose weights are marked as doubtful, to be shown. */
export function doubtfulDraws(facts: readonly Fact[]): string[] {
  const { plan, draws } = stateOf(facts);
  return plan.tasks.flatMap((task) =>
    task.kind === 'draw' && draws[task.id]?.doubt ? [`${task.id} ${cleanText(task.name)}`] : [],
  );
}

/** The formula's shares: what a batch that hits every target holds. */
export function plannedAmounts(formula: Formula, workshop: Workshop): Material[] {
  return formula.phases.flatMap(({ work }) =>
    work.flatMap((item): Material[] => {
      if (item.kind !== 'draw') return [];
      const { name, inci } = workshop.ingredients.get(item.ingredient) ?? {
        name: item.ingredient,
        inci: item.ingredient,
      };
      return [{ ingredient: item.ingredient, name, lot: undefined, inci, amount: item.share }];
    }),
  );
}

/** All materials together. */
export function totalOf(materials: readonly Material[]): number {
  return sumOf(materials.map(({ amount }) => amount as ReturnType<typeof sumOf>));
}
