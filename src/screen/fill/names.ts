/** Names and numbers of a plan as the maker reads them. */
import type { BatchState } from '../../facts/batchState.ts';
import { isElsewhere } from '../../facts/handOver.ts';
import { type Mass, size } from '../../mass/mass.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';

export function vesselName(plan: Plan, id: string): string {
  return plan.vessels[id]?.name ?? id;
}

/** `bench scale`. */
export function scaleName(id: string): string {
  return `${id} scale`;
}

/** The decimals that a scale of the plan shows. */
export function decimalsOn(plan: Plan, scale: string): number {
  const d = plan.scales[scale]?.d;
  return d === undefined ? 3 : decimalsOf(d);
}

/** A weight as its scale shows it, with unit: `55.7 g`. */
export function gramsOn(plan: Plan, scale: string, of: Mass): string {
  return `${printMass(of, { decimals: decimalsOn(plan, scale) })} g`;
}

/** The same without a sign. */
export function sizeOn(plan: Plan, scale: string, of: Mass): string {
  return gramsOn(plan, scale, size(of));
}

/** A target, rounded to the scale's grid for reading. */
export function targetOn(plan: Plan, scale: string, of: Mass): string {
  return gramsOn(plan, scale, of);
}

/** Which of this bench's draws it is: `3 of 22`. What another bench weighs is counted there. */
export function placeOf(batch: BatchState, draw: PlannedDraw): string {
  const draws = batch.plan.tasks.filter((task) => task.kind === 'draw' && (task === draw || !isElsewhere(batch, task)));
  return `${draws.indexOf(draw) + 1} of ${draws.length}`;
}
