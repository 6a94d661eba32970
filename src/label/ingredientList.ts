/** The order of an ingredient list, in the EU and in the US. */
import { splitWhole } from '../mass/split.ts';
import type { NamedAllergen } from './allergens.ts';
import { byName, keyOf, nameIn, type Place } from './names.ts';
import type { TakenApart } from './takeApart.ts';

/**
 * Where a name stands: among those in falling order of weight; after them, where any order is lawful; a fragrance
 * allergen that is named beside the oil that brings it; a colourant, last.
 */
export type Group = 'main' | 'small' | 'allergen' | 'colour';

export interface Row {
  readonly name: string;
  readonly group: Group;
  /** Parts per million of the mix as added. All rows but allergens add up to exactly 1 000 000. */
  readonly ppm: number;
  /** False for an allergen whose weight is in its oil's already. */
  readonly counted: boolean;
  /** Materials that it came in with, in the order of the work. */
  readonly from: readonly string[];
  /** It weighs exactly as much as the one before: the alphabet decided. */
  readonly tied: boolean;
}

interface Sum {
  readonly name: string;
  amount: bigint;
  colour: boolean;
  readonly counted: boolean;
  readonly from: Set<string>;
}

const ORDER: readonly Group[] = ['main', 'small', 'allergen', 'colour'];

/**
 * The rows of a list, in lawful order: falling weight, colourants last. What is small may stand in any order after the
 * others; it is kept in falling order too, which is lawful wherever the limit lies.
 *
 * Sources. EU, Reg. (EC) 1223/2009, Art. 19(1)(g): falling weight at the time of adding; in any order those of LESS THAN
 * 1 %, after those of more; colourants other than hair dyes in any order after the others. US, 21 CFR 701.3: falling
 * predominance; in any order those NOT EXCEEDING 1 % (f)(2), and colour additives after all others (f)(3).
 * @param allergens those to be named; none in the US
 */
export function ingredientList(place: Place, mix: TakenApart, allergens: readonly NamedAllergen[]): Row[] {
  const sums = new Map<string, Sum>();
  // A name for the US that is stated once holds wherever the substance comes in.
  const stated = new Map(
    mix.substances.flatMap(({ inci, us }) => (us === undefined ? [] : [[keyOf(inci), us] as const])),
  );
  for (const substance of mix.substances) {
    const us = substance.us ?? stated.get(keyOf(substance.inci));
    const name = nameIn(place, { ...substance, us });
    const known = sums.get(keyOf(name));
    const sum = known ?? { name, amount: 0n, colour: false, counted: true, from: new Set<string>() };
    sum.amount += substance.amount;
    sum.colour ||= substance.colour;
    sum.from.add(substance.from);
    sums.set(keyOf(name), sum);
  }
  for (const { inci, amount, from } of allergens) {
    // One that is an ingredient itself is named already.
    if (sums.has(keyOf(inci))) continue;
    sums.set(keyOf(inci), { name: inci, amount, colour: false, counted: false, from: new Set(from) });
  }

  const groupOf = ({ amount, colour, counted }: Sum): Group => {
    if (colour) return 'colour';
    const hundredfold = amount * 100n;
    if (place === 'EU' ? hundredfold >= mix.total : hundredfold > mix.total) return 'main';
    return counted ? 'small' : 'allergen';
  };
  const sorted = [...sums.values()]
    .map((sum) => ({ sum, group: groupOf(sum) }))
    .sort((a, b) => {
      if (a.group !== b.group) return ORDER.indexOf(a.group) - ORDER.indexOf(b.group);
      if (a.sum.amount !== b.sum.amount) return a.sum.amount > b.sum.amount ? -1 : 1;
      return byName(a.sum.name, b.sum.name);
    });
  const counted = sorted.filter(({ sum }) => sum.counted);
  if (counted.length === 0) return [];
  const shares = splitWhole(
    1_000_000n,
    counted.map(({ sum }) => sum.amount),
  );
  const ppmOf = new Map(counted.map(({ sum }, index) => [sum, Number(shares[index] ?? 0n)]));
  return sorted.map(({ sum, group }, index) => {
    const before = sorted[index - 1];
    return {
      name: sum.name,
      group,
      ppm: ppmOf.get(sum) ?? Number((sum.amount * 1_000_000n) / mix.total),
      counted: sum.counted,
      from: [...sum.from],
      tied: before?.group === group && before.sum.amount === sum.amount,
    };
  });
}

/** The list as it is printed: both laws want it headed by the word "Ingredients" (in the US from memory). */
export function listText(rows: readonly Row[]): string {
  return `Ingredients: ${rows.map(({ name }) => name).join(', ')}`;
}
