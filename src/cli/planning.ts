/** From a formula's name and a size on the command line to a plan. */
import type { Formula } from '../formula/model.ts';
import { ZERO } from '../mass/mass.ts';
import { readMassWithUnit } from '../mass/text.ts';
import type { BatchSize } from '../plan/batchSize.ts';
import { batchOf } from '../plan/inWords.ts';
import type { Plan, PlanResult } from '../plan/model.ts';
import { type Considering, considerPlan } from '../plan/plan.ts';
import { printRefusals } from '../plan/printPlan.ts';
import { stamp } from '../records/stamp.ts';
import { neededNotes } from '../stock/stillNeeded.ts';
import type { Workshop } from '../workshop/model.ts';
import { Ending, EXIT } from './exit.ts';
import { formulaIds, loadFormula } from './folder.ts';
import { sizeAsked } from './sizeAsked.ts';
import { editsNow, neededNow, stockedNow } from './stock/stockNow.ts';
import { hint } from './weigh/hint.ts';

export interface SizeOptions {
  readonly bars?: string | undefined;
  readonly mass?: string | undefined;
  /** As much as the jars allow. */
  readonly most?: boolean | undefined;
  /** As much as this vessel has room for. */
  readonly fill?: string | undefined;
}

/** The wanted size as it was typed; undefined for the formula's usual one. */
export function sizeFrom({ bars, mass, most, fill }: SizeOptions): BatchSize {
  if ([bars, mass, most, fill].filter((each) => each !== undefined && each !== false).length > 1) {
    throw new Ending(EXIT.wrongUse, 'A batch has one size: give one of --bars, --mass, --most and --fill.');
  }
  if (bars !== undefined) {
    const count = Number(bars);
    if (!/^\d{1,6}$/.test(bars) || count === 0) {
      throw new Ending(EXIT.wrongUse, '--bars wants a whole number of bars, such as --bars 24.');
    }
    return { bars: count };
  }
  if (mass !== undefined) {
    const wanted = readMassWithUnit(mass);
    if (wanted === undefined || wanted <= 0) {
      throw new Ending(EXIT.wrongUse, '--mass wants a weight with its unit, such as --mass 1.8kg or --mass 250g.');
    }
    return { mass: wanted };
  }
  return undefined;
}

export interface Planned {
  readonly formula: Formula;
  readonly plan: Plan;
}

/** Every ingredient that a formula draws. */
export function ingredientsOf({ phases }: Formula): ReadonlySet<string> {
  return new Set(phases.flatMap(({ work }) => work.flatMap((item) => (item.kind === 'draw' ? [item.ingredient] : []))));
}

export interface ConsideredFor extends Considering {
  readonly formula: Formula;
}

/**
 * What a plan would be, with all that was considered for it.
 * @param workshop as its file says; what its lots hold now is looked up
 */
export function considerFor(
  folder: string,
  workshop: Workshop,
  name: string | undefined,
  size: SizeOptions,
): ConsideredFor {
  const formula = loadFormula(folder, name ?? onlyFormula(folder), workshop);
  const now = stockedNow(folder, workshop, ingredientsOf(formula));
  const today = stamp(new Date()).slice(0, 10);
  const { size: wanted, note } = sizeAsked(size, sizeFrom(size), { workshop: now, formula, today });
  const { result, considered } = considerPlan(now, formula, wanted, today);
  if (!result.ok) return { formula, result, considered };
  const onHand = (ingredient: string, lot: string) =>
    now.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot)?.onHand ?? ZERO;
  const open = neededNotes(result.plan, neededNow(folder), onHand);
  const drawn = [...ingredientsOf(formula)].flatMap((id) => workshop.ingredients.get(id) ?? []);
  const edits = editsNow(folder, drawn).map(([, say]) => say);
  const plan = {
    ...result.plan,
    notes: [...(note === undefined ? [] : [note]), ...edits, ...open, ...result.plan.notes],
  };
  return { formula, result: { ok: true, plan }, considered };
}

/** The plan, or an ending that says everything that stands in its way. */
export function plannedOrEnd(formula: Formula, result: PlanResult): Planned {
  if (result.ok) return { formula, plan: result.plan };
  const { refusals, nearest } = result;
  const size =
    nearest && `${nearest.bound === 'most' ? 'at most ' : ''}${batchOf(nearest.mass, nearest.bound, formula)}`;
  const told = printRefusals(formula, refusals, process.stdout.columns, size);
  const isStock = refusals.some(({ instead }) => instead?.includes('stock solution'));
  const how = `\n\nA stock solution is worked out by: ${hint(`plan ${formula.id} --stock-solution INGREDIENT`)}`;
  throw new Ending(EXIT.failed, told + (isStock ? how : ''));
}

/** Both at once. */
export function planFor(folder: string, workshop: Workshop, name: string | undefined, size: SizeOptions): Planned {
  const { formula, result } = considerFor(folder, workshop, name, size);
  return plannedOrEnd(formula, result);
}

/** The workshop's formula where it has just one. @throws Ending where it has none, or several */
export function onlyFormula(folder: string): string {
  const known = formulaIds(folder);
  if (known.length === 1 && known[0] !== undefined) return known[0];
  throw new Ending(
    EXIT.wrongUse,
    known.length === 0
      ? 'This workshop has no formula yet: put one into its folder formulas/.'
      : `Which formula? There are: ${known.join(', ')}.`,
  );
}
