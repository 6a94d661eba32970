/** What is in the batch already, draw by draw of the formula: all parts and earlier top-ups of one are a line. */

import { stuckOf } from '../facts/combine.ts';
import type { FormulaDraw, Phase } from '../formula/model.ts';
import { greater, type Mass, minus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { PlannedDraw } from '../plan/model.ts';
import type { Ingredient, Scale } from '../workshop/model.ts';
import type { RescueInput } from './model.ts';

/** One weighing of a line that is in, or is held on the pan. */
export interface PartIn {
  readonly draw: PlannedDraw;
  readonly amount: Mass;
  readonly held: boolean;
  /** The vessel that it is in by now: its own, or the one that was emptied into. */
  readonly where: string;
}

export interface Line {
  /** As in the plan without its parts: `D1`. */
  readonly id: string;
  readonly phase: Phase;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  /** Its target in the plan as it is. */
  readonly target: Mass;
  readonly parts: readonly PartIn[];
  /** All that is in, without what stuck to cups and emptied vessels. */
  readonly amount: Mass;
  /** The vessel that most of it is in; its phase's while nothing is. */
  readonly where: string;
}

/** The line that a planned draw belongs to: `D1` for `D1.2`. */
export function lineOf({ id, part }: PlannedDraw): string {
  return part?.group ?? id;
}

/** Shares of all draws in the order of the formula, whole numbers out of its `whole`. */
export function sharesOf({ formula }: Pick<RescueInput, 'formula'>): number[] {
  return formula.phases.flatMap(({ work }) => work.flatMap((item) => (item.kind === 'draw' ? [item.share] : [])));
}

function whereIs({ state }: RescueInput, draw: PlannedDraw): string {
  return Object.entries(state.vessels).find(([, { holds }]) => holds.includes(draw.id))?.[0] ?? draw.vessel;
}

function partsIn(input: RescueInput, line: string): PartIn[] {
  const { state, held } = input;
  return state.plan.tasks.flatMap((task): PartIn[] => {
    if (task.kind !== 'draw' || lineOf(task) !== line) return [];
    const where = whereIs(input, task);
    if (held?.draw === task.id) return [{ draw: task, amount: held.net, held: true, where }];
    const known = state.draws[task.id];
    const weighed = known?.bowl ?? known?.net ?? null;
    if (weighed === null) return [];
    return [{ draw: task, amount: greater(ZERO, minus(weighed, stuckOf(state, task.id))), held: false, where }];
  });
}

/**
 * All lines of the batch, in the order of the formula.
 * @returns a sentence when the formula is not the one that the batch was planned by
 */
export function linesOf(input: RescueInput): readonly Line[] | { readonly why: string } {
  const { formula, workshop, state } = input;
  const changed = {
    why: `The formula ${formula.name} or its workshop has changed since this batch was begun, so it can't be scaled up.`,
  };
  const targets = splitByShares(state.plan.mass, sharesOf(input));
  const planned = new Map<string, Mass>();
  for (const task of state.plan.tasks) {
    if (task.kind === 'draw') planned.set(lineOf(task), task.part?.target ?? task.target);
  }
  const lines: Line[] = [];
  for (const phase of formula.phases) {
    let draws = 0;
    for (const item of phase.work) {
      if (item.kind === 'step') continue;
      draws += 1;
      const id = `${phase.id}${draws}`;
      const ingredient = workshop.ingredients.get(item.ingredient);
      const target = targets[lines.length];
      if (!ingredient || target === undefined || planned.get(id) !== target) return changed;
      const parts = partsIn(input, id);
      const amount = sumOf(parts.map((part) => part.amount));
      const where = [...parts].sort((a, b) => b.amount - a.amount)[0]?.where ?? phase.vessel;
      lines.push({ id, phase, draw: item, ingredient, target, parts, amount, where });
    }
  }
  return planned.size === lines.length ? lines : changed;
}

/** The scale that a line is judged on: the coarsest that any part of it was weighed on. */
export function judgingScale({ workshop, state }: RescueInput, { parts }: Line): Scale | undefined {
  const scales = parts.flatMap(({ draw }): Scale[] => {
    const then = state.plan.scales[draw.scale];
    // Of another bench's scale only what the plan says of it is known; all else of a scale does not bear on the judgement.
    const [any] = workshop.scales.values();
    const now = workshop.scales.get(draw.scale) ?? (then?.bench === undefined ? undefined : any);
    return now && then
      ? [{ ...now, id: then.id, d: then.d, capacity: then.capacity, repeatability: then.repeatability ?? undefined }]
      : [];
  });
  return scales.sort((a, b) => b.d - a.d)[0];
}
