/** What must hold between the parts of a formula, and between a formula and its workshop. */
import { z } from 'zod';
import { divideRounded } from '../mass/rounding.ts';
import type { Workshop } from '../workshop/model.ts';
import { nameHint } from '../workshop/nearest.ts';
import { heldIn, isAbove, levelOf, sumHeld } from './heldIn.ts';
import type { Ceiling, Formula, FormulaDraw, FormulaStep, Phase } from './model.ts';

/** Shares are parts per million, unless a formula needs finer ones; all of them make the batch. */
export const WHOLE = 1_000_000;

/** What the shares of a formula's draws add up to. */
export function wholeOf({ whole }: Pick<Formula, 'whole'>): number {
  return whole ?? WHOLE;
}

/** A fault of meaning, with its path below the formula's top. */
export interface Fault {
  readonly path: PropertyKey[];
  /** Completes the sentence "expected ...". */
  readonly expected: string;
  readonly hint?: string;
}

/** A name that must be one of the workshop's; the fault says the nearest of them. */
export function knownName(what: string, known: ReadonlyMap<string, unknown>): z.ZodType<string, string> {
  return z.string(what).superRefine((name, context) => {
    if (known.has(name)) return;
    const hint = nameHint(name, known.keys());
    context.addIssue({ code: 'custom', message: what, ...(hint === undefined ? {} : { params: { hint } }) });
  });
}

/** Parts per million as percent, without needless zeros: `12.5 %`. */
export function printPercent(ppm: number): string {
  return `${(ppm / 10_000).toFixed(4).replace(/\.?0+$/, '')} %`;
}

/** Phase names are letters, each once, because draws are named after them: `A1`. */
export function checkPhaseNames(phases: readonly { readonly phase: string }[]): Fault[] {
  return phases.flatMap(({ phase }, index) => {
    const first = phases.findIndex((other) => other.phase.toUpperCase() === phase.toUpperCase());
    if (first === index) return [];
    return [{ path: ['phases', index, 'phase'], expected: 'a letter that no other phase has' }];
  });
}

/** Nothing is tipped out of a vessel that holds nothing, nor into itself. */
export function checkCombining(phases: readonly Phase[]): Fault[] {
  const filled = new Set<string>();
  const faults: Fault[] = [];
  const follow = (item: FormulaDraw | FormulaStep, into: string, path: PropertyKey[]) => {
    if (item.kind === 'draw') {
      filled.add(into);
      return;
    }
    if (item.step !== 'combine' || item.vessel === undefined || item.into === undefined) return;
    if (item.vessel === item.into) {
      faults.push({ path: [...path, 'into'], expected: 'another vessel than the one that is emptied' });
    } else if (!filled.has(item.vessel)) {
      faults.push({ path: [...path, 'vessel'], expected: 'a vessel that holds something by now' });
    }
    filled.delete(item.vessel);
    filled.add(item.into);
  };
  phases.forEach((phase, i) => {
    phase.work.forEach((item, j) => {
      follow(item, phase.vessel, ['phases', i, 'work', j]);
    });
  });
  return faults;
}

/** The formula itself keeps to its highest levels, with every draw on its target; what is made of others counts with them. */
export function checkLimits(
  phases: readonly Phase[],
  limits: readonly Ceiling[],
  whole: number,
  workshop: Pick<Workshop, 'ingredients'>,
): Fault[] {
  const draws = phases.flatMap(({ work }) => work).filter((item) => item.kind === 'draw');
  return limits.flatMap(({ ingredients, ppm, dryingPpm }, index) => {
    const held = sumHeld(
      draws.map(({ ingredient, share }) => ({ amount: share, holds: heldIn(workshop, ingredient, ingredients) })),
    );
    const path = ['limits', index];
    if (held.n === 0n) return [{ path: [...path, 'of'], expected: 'an ingredient of this formula' }];
    const level = levelOf(held, BigInt(whole), dryingPpm);
    if (!isAbove(level, ppm)) return [];
    const has = printPercent(Number(divideRounded(level.n * BigInt(WHOLE), level.d, 'up')));
    return [{ path: [...path, 'most'], expected: 'a level that the formula keeps to', hint: `it has ${has}` }];
  });
}
