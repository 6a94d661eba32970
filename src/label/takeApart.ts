/**
 * Trade materials taken apart into the substances that an ingredient list names: a surfactant in water is two of them,
 * and the water of all materials adds up. Exact: nothing is rounded here.
 */
import { DEEPEST } from '../workshop/composition.ts';
import type { Composition, Workshop } from '../workshop/model.ts';
import type { Material } from './amounts.ts';
import { keyOf } from './names.ts';

const MILLION = 1_000_000n;
/** Amounts are counted in so small units that a millionth of a millionth ... of a material is still a whole number. */
const FINENESS = MILLION ** BigInt(DEEPEST + 1);
/** INCI names that stand in one line: `Aqua, Glycerin`, `Phenoxyethanol (and) Ethylhexylglycerin`. */
const SEVERAL = /,\s|;|\(and\)/i;

/** Some of one substance. */
export interface Substance {
  readonly inci: string;
  /** Its name in the US, where the workshop states one. */
  readonly us: string | undefined;
  readonly colour: boolean;
  readonly nano: boolean;
  /** In units that all substances and allergens of one mix share; above zero. */
  readonly amount: bigint;
  /** The material that it came in with. */
  readonly from: string;
}

/** Some of a fragrance allergen, as part of a material. */
export interface CarriedAllergen {
  readonly inci: string;
  readonly amount: bigint;
  readonly from: string;
}

export interface TakenApart {
  readonly substances: readonly Substance[];
  /** What materials carry; their weight is in the substances already. */
  readonly allergens: readonly CarriedAllergen[];
  /** The sum of all substances, and so of all materials. */
  readonly total: bigint;
  /** Materials that can't be taken apart, one sentence each. While there is one, there is no list. */
  readonly unknown: readonly string[];
  /** What else should be known, sentences. */
  readonly notes: readonly string[];
}

/** Takes all materials of a mix apart, by what the workshop states of their lots, else of the ingredients. */
export function takeApart(materials: readonly Material[], workshop: Workshop): TakenApart {
  const substances: Substance[] = [];
  const allergens: CarriedAllergen[] = [];
  const unknown = new Set<string>();
  const notes = new Set<string>();

  const add = (name: string, inci: string, made: Composition, amount: bigint, depth: number, from: string) => {
    for (const { inci: allergen, ppm } of made.allergens ?? []) {
      allergens.push({ inci: allergen, amount: (amount / MILLION) * BigInt(ppm), from });
    }
    if (made.madeOf === undefined) {
      if (SEVERAL.test(inci)) {
        unknown.add(`${name} has several INCI names (${inci}), and how much of each is not stated.`);
      }
      substances.push({ inci, us: undefined, colour: isColourIndex(inci), nano: false, amount, from });
      return;
    }
    for (const part of made.madeOf) {
      const share = (amount / MILLION) * BigInt(part.ppm);
      if ('of' in part) {
        const inner = workshop.ingredients.get(part.of);
        // Depth and names were checked when the file was read.
        if (inner && depth < DEEPEST) add(inner.name, inner.inci, inner, share, depth + 1, from);
        else unknown.add(`${name} is made of ${part.of}, which this workshop does not tell.`);
        continue;
      }
      const { us, colour = false, nano = false } = part;
      substances.push({ inci: part.inci, us, colour: colour || isColourIndex(part.inci), nano, amount: share, from });
    }
  };

  for (const { ingredient, name, lot, inci, amount } of materials) {
    if (amount === 0) continue;
    const known = workshop.ingredients.get(ingredient);
    const own = known?.lots.find(({ id }) => id === lot);
    const made = { madeOf: own?.madeOf ?? known?.madeOf, allergens: own?.allergens ?? known?.allergens };
    if (!known) notes.add(`${name} is no longer in the workshop file: it is taken to be one substance, ${inci}.`);
    else if (known.inci !== inci) {
      notes.add(
        `${name} had the INCI name ${inci} when it was weighed, and now has ${known.inci}: the new one counts.`,
      );
    }
    if (made.madeOf === undefined && known?.active !== undefined && known.active < 1_000_000) {
      unknown.add(`${name} is ${known.active / 10_000} % active, and what the rest is, is not stated.`);
    }
    const first = substances.length;
    add(name, known?.inci ?? inci, made, BigInt(amount) * FINENESS, 0, name);
    const found = new Set(substances.slice(first).map((part) => keyOf(part.inci)));
    for (const stated of (known?.inci ?? '').split(SEVERAL).map((each) => each.trim())) {
      if (made.madeOf === undefined || stated === '' || found.has(keyOf(stated))) continue;
      notes.add(`${name}: its \`inci\` says ${stated}, which is not among its parts. The parts count.`);
    }
  }
  return {
    substances: substances.filter(({ amount }) => amount > 0n),
    allergens,
    total: substances.reduce((sum, { amount }) => sum + amount, 0n),
    unknown: [...unknown],
    notes: [...notes],
  };
}

/** A colour by its Colour Index number, as the EU wants it (Reg. (EC) 1223/2009, Art. 19(1)(g)): `CI 42090`. */
export function isColourIndex(inci: string): boolean {
  return /^CI \d{5}(:\d)?$/i.test(inci.trim());
}
