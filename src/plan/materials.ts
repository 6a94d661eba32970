/** What a plan keeps of what its ingredients are made of: a batch's label is written by what was known when it was begun. */
import type { Formula } from '../formula/model.ts';
import type { Composition, Ingredient, Workshop } from '../workshop/model.ts';
import type { Plan, PlannedMaterial, Task } from './model.ts';

function statedOf({ madeOf, allergens }: Composition): Composition {
  return { ...(madeOf === undefined ? {} : { madeOf }), ...(allergens === undefined ? {} : { allergens }) };
}

/** An ingredient as a plan keeps it. */
export function materialOf(ingredient: Ingredient): PlannedMaterial {
  const { name, inci, active, lots } = ingredient;
  const own = lots
    .filter(({ madeOf, allergens }) => madeOf !== undefined || allergens !== undefined)
    .map((lot) => [lot.id, statedOf(lot)] as const);
  return {
    name,
    inci,
    ...(active === undefined ? {} : { active }),
    ...statedOf(ingredient),
    ...(own.length === 0 ? {} : { lots: Object.fromEntries(own) }),
  };
}

/** Every ingredient that a batch is drawn from, and all that they are made of. */
export function materialsOf({ ingredients }: Workshop, tasks: readonly Task[]): Pick<Plan, 'materials'> {
  const found = new Map<string, PlannedMaterial>();
  const keep = (id: string): void => {
    const ingredient = ingredients.get(id);
    if (!ingredient || found.has(id)) return;
    found.set(id, materialOf(ingredient));
    const parts = [ingredient, ...ingredient.lots].flatMap(({ madeOf = [] }) => madeOf);
    for (const part of parts) if ('of' in part) keep(part.of);
  };
  for (const task of tasks) if (task.kind === 'draw') keep(task.ingredient);
  return { materials: Object.fromEntries(found) };
}

/** What the formula says for the label: like its materials, it stays as it was when the batch was begun. */
export function labelKept({ label }: Formula): Pick<Plan, 'label'> {
  if (label === undefined) return {};
  const { net, use, dryingPpm } = label;
  return {
    label: {
      ...(net === undefined ? {} : { net }),
      ...(use === undefined ? {} : { use }),
      ...(dryingPpm === undefined ? {} : { dryingPpm }),
    },
  };
}
