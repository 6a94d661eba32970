/**
 * Fragrance allergens that an EU label has to name: those whose share in the finished product is more than 0.001 % where
 * it stays on the skin, 0.01 % where it is rinsed off (Reg. (EC) 1223/2009, Annex III, as amended by Reg. (EU) 2023/1545).
 */
import type { Use } from '../formula/model.ts';
import { keyOf } from './names.ts';
import type { TakenApart } from './takeApart.ts';

/** Parts per million of the finished product that have to be exceeded. */
export const THRESHOLD: Readonly<Record<Use, number>> = { 'leave-on': 10, 'rinse-off': 100 };

const MILLION = 1_000_000n;

export interface NamedAllergen {
  readonly inci: string;
  /** In the units of the mix it was taken from. */
  readonly amount: bigint;
  readonly from: readonly string[];
}

/**
 * Allergens over the threshold, in no special order. All sources of one add up, also where it is an ingredient itself.
 * @param dryingPpm what the product loses before it is sold, parts per million of the mix, 0 to 500 000: the finished
 *   product counts, so it is reckoned that the allergens stay in
 */
export function allergensToName(mix: TakenApart, use: Use, dryingPpm: number): NamedAllergen[] {
  const all = new Map<string, { inci: string; amount: bigint; from: Set<string> }>();
  for (const { inci, amount, from } of mix.allergens) {
    const known = all.get(keyOf(inci)) ?? { inci, amount: 0n, from: new Set<string>() };
    known.amount += amount;
    known.from.add(from);
    all.set(keyOf(inci), known);
  }
  for (const { inci, amount, from } of mix.substances) {
    const known = all.get(keyOf(inci));
    if (!known) continue;
    known.amount += amount;
    known.from.add(from);
  }
  const finished = mix.total * (MILLION - BigInt(dryingPpm));
  return [...all.values()]
    .filter(({ amount }) => amount * MILLION * MILLION > BigInt(THRESHOLD[use]) * finished)
    .map(({ inci, amount, from }) => ({ inci, amount, from: [...from] }));
}
