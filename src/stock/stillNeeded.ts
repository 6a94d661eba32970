/** What open batches are still to take out of their lots: not reserved, but told, so that two do not count on the same jar. */
import type { BatchState } from '../facts/batchState.ts';
import { isElsewhere } from '../facts/handOver.ts';
import { isDone } from '../facts/isDone.ts';
import { wanted } from '../facts/wanted.ts';
import { greater, type Mass, minus, plus, ZERO } from '../mass/mass.ts';
import type { Plan } from '../plan/model.ts';
import { grams } from './lotLine.ts';

/** What one open batch still needs of one lot. */
export interface Needed {
  readonly batch: string;
  readonly ingredient: string;
  readonly name: string;
  readonly lot: string;
  readonly amount: Mass;
}

/**
 * What a batch is still to take out of each lot. A draw counts until its weight is accepted, which is when its lot has
 * paid for it; so whatever is not in the book yet is here, and once.
 */
export function stillNeeded(state: BatchState): readonly Needed[] {
  if (state.ended !== 'open') return [];
  const found = new Map<string, Needed>();
  const begun = new Set<string>();
  for (const task of state.plan.tasks) {
    if (task.kind !== 'draw' || isDone(state, task) || state.draws[task.id]?.status !== 'open') continue;
    if (isElsewhere(state, task)) continue; // another bench's part of the batch counts it

    const { ingredient, name, lot, part } = task;
    // Until the parts before it are weighed, a later part is expected to be what was planned.
    const isNext = part === null || !begun.has(part.group);
    if (part !== null) begun.add(part.group);
    const amount = greater(ZERO, isNext ? wanted(state, task).target : task.target);
    const key = JSON.stringify([ingredient, lot]);
    const before = found.get(key)?.amount ?? ZERO;
    found.set(key, { batch: state.batch, ingredient, name, lot, amount: plus(before, amount) });
  }
  return [...found.values()].filter(({ amount }) => amount > 0);
}

/**
 * What a maker should know who plans a batch while others are open: sentences, first where it is not enough for all.
 * @param plan the new batch
 * @param open what all open batches still need
 * @param onHand what a lot holds by the book
 */
export function neededNotes(
  plan: Plan,
  open: readonly Needed[],
  onHand: (ingredient: string, lot: string) => Mass,
): readonly string[] {
  const own = new Map<string, Mass>();
  for (const task of plan.tasks) {
    if (task.kind !== 'draw') continue;
    const key = JSON.stringify([task.ingredient, task.lot]);
    own.set(key, plus(own.get(key) ?? ZERO, task.target));
  }
  const shared = new Map<string, Needed[]>();
  for (const each of open) {
    const key = JSON.stringify([each.ingredient, each.lot]);
    if (own.has(key)) shared.set(key, [...(shared.get(key) ?? []), each]);
  }
  const short: string[] = [];
  const enough: string[] = [];
  for (const [key, needs] of shared) {
    const [{ ingredient, name, lot } = { ingredient: '', name: '', lot: '' }] = needs;
    const others = needs.reduce((sum, { amount }) => plus(sum, amount), ZERO);
    const missing = minus(plus(others, own.get(key) ?? ZERO), onHand(ingredient, lot));
    const who = `${needs.length > 1 ? 'Batches' : 'Batch'} ${needs.map(({ batch }) => batch).join(', ')}, still open,`;
    if (missing > 0) {
      short.push(
        `${who} still ${needs.length > 1 ? 'need' : 'needs'} ${grams(others)} of ${name}, lot ${lot}: for this one as well it is ${grams(missing)} short.`,
      );
    } else enough.push(`${name} ${grams(others)} (${lot})`);
  }
  const rest =
    enough.length === 0
      ? []
      : [`Open batches still need out of the same jars, and there is enough: ${enough.join(', ')}.`];
  return [...short, ...rest];
}
