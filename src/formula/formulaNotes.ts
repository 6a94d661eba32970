/** What a formula says about itself that stops nothing: its active matter, what is wet and unpreserved, what to measure. */
import { DEEPEST } from '../workshop/composition.ts';
import type { Ingredient, Workshop } from '../workshop/model.ts';
import { WHOLE, wholeOf } from './checkFormula.ts';
import { added, type Fraction, fraction, NONE, times } from './fraction.ts';
import type { Formula } from './model.ts';
import { printShare } from './shares.ts';

const WATER = /(^|[,;/]\s*)(aqua|water)\b/i;

function drawn({ phases }: Formula, { ingredients }: Workshop): { ingredient: Ingredient; share: number }[] {
  return phases.flatMap(({ work }) =>
    work.flatMap((item) => {
      const ingredient = item.kind === 'draw' ? ingredients.get(item.ingredient) : undefined;
      return item.kind === 'draw' && ingredient ? [{ ingredient, share: item.share }] : [];
    }),
  );
}

/**
 * The active matter of a formula, as a share of the batch: each share times the strength of its ingredient.
 * @returns undefined where no ingredient's strength is known; those without one count as nothing
 */
export function totalActive(formula: Formula, workshop: Workshop): Fraction | undefined {
  const strong = drawn(formula, workshop).filter(({ ingredient }) => ingredient.active !== undefined);
  if (strong.length === 0) return undefined;
  return strong.reduce((sum, { ingredient, share }) => {
    const ofBatch = fraction(BigInt(share), BigInt(wholeOf(formula)));
    return added(sum, times(ofBatch, fraction(BigInt(ingredient.active ?? 0), BigInt(WHOLE))));
  }, NONE);
}

/** Whether water is in an ingredient: by its role, its name, or what it is made of. @param deep how deep to look */
function isWet({ role, inci, madeOf = [] }: Ingredient, workshop: Workshop, deep = DEEPEST): boolean {
  if (role === 'water' || WATER.test(inci)) return true;
  return madeOf.some((part) => {
    if (!('of' in part)) return WATER.test(part.inci);
    const inner = workshop.ingredients.get(part.of);
    return inner !== undefined && deep > 0 && isWet(inner, workshop, deep - 1);
  });
}

/** Sentences for whoever plans a batch of it. */
export function formulaNotes(formula: Formula, workshop: Workshop): string[] {
  const notes: string[] = [];
  const draws = drawn(formula, workshop);
  const active = totalActive(formula, workshop);
  if (active !== undefined) {
    const names = draws.flatMap(({ ingredient: { name, active: ppm } }) => (ppm === undefined ? [] : [name]));
    notes.push(`Active matter: ${printShare(active)} of the batch, from ${[...new Set(names)].join(', ')}.`);
  }
  const wet = draws.filter(({ ingredient }) => isWet(ingredient, workshop)).map(({ ingredient }) => ingredient.name);
  if (wet.length > 0 && !draws.some(({ ingredient }) => ingredient.role === 'preservative')) {
    notes.push(
      `Water is in it (${[...new Set(wet)].join(', ')}), and no ingredient has \`role: preservative\`. What is wet can spoil unseen: whether and how long it keeps is for a qualified person to judge.`,
    );
  }
  return notes;
}
