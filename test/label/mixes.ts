/** Small made-up workshops and mixes to list. */
import { type Material, totalOf } from '../../src/label/amounts.ts';
import type { Group, Row } from '../../src/label/ingredientList.ts';
import { takeApart } from '../../src/label/takeApart.ts';
import type { Composition, Ingredient, Workshop } from '../../src/workshop/model.ts';

export function ingredient(id: string, inci: string, made: Composition = {}): Ingredient {
  return { id, name: id, inci, density: undefined, lots: [], cautions: [], ...made };
}

export function workshopOf(ingredients: readonly Ingredient[]): Workshop {
  return {
    name: 'Label',
    operators: ['Ann'],
    scales: new Map(),
    vessels: new Map(),
    checkWeights: [],
    ingredients: new Map(ingredients.map((each) => [each.id, each])),
  };
}

export function material({ id, name, inci }: Ingredient, amount: number, lot?: string): Material {
  return { ingredient: id, name, lot, inci, amount };
}

/** A mix of ingredients, each with its amount. */
export function mixOf(parts: readonly (readonly [Ingredient, number])[]) {
  const workshop = workshopOf(parts.map(([each]) => each));
  const materials = parts.map(([each, amount]) => material(each, amount));
  return { workshop, materials, total: totalOf(materials), mix: takeApart(materials, workshop) };
}

export function names(rows: readonly Row[], group?: Group): string[] {
  return rows.filter((row) => group === undefined || row.group === group).map(({ name }) => name);
}
