/** Times and numbers as the printed record shows them. */
import type { Mass } from '../../mass/mass.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { Plan } from '../../plan/model.ts';

/** `2026-11-25 10:00:23 (+01:00)`. */
export function spelled(at: string): string {
  return `${at.slice(0, 10)} ${at.slice(11, 19)} (${at.slice(23)})`;
}

/** The time of day; with its date where that is not the day on which the batch began. */
export function clock(at: string, { started }: { readonly started: string }): string {
  const time = at.slice(11, 19);
  return at.slice(0, 10) === started.slice(0, 10) ? time : `${at.slice(0, 10)} ${time}`;
}

/** Decimals of the finest scale of a plan: sums of its weighings need no more. */
export function finestDecimals(plan: Plan): number {
  return Math.max(1, ...Object.values(plan.scales).map(({ d }) => decimalsOf(d)));
}

/** A mass with no more decimals than it has: `5000`, `0.05`. */
export function plainGrams(of: Mass): string {
  return printMass(of, { decimals: decimalsOf(of) });
}

/** A planned mass in print: milligrams are finer than any scale here; JSON and CSV have all digits. */
export function plannedGrams(of: Mass): string {
  return printMass(of, { decimals: 3 });
}
