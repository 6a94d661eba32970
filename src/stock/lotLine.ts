/** Facts about lots, one line each. */
import type { Fact } from '../facts/fact.ts';
import type { Mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';

export type LotFact = Extract<
  Fact,
  { kind: 'lot-received' | 'lot-blocked' | 'lot-released' | 'stock-taken' | 'lot-short' | 'lot-confirmed' }
>;

/** @returns a sentence without its point; the text in it is as it was entered, not cleaned */
export function lotLine(fact: LotFact): string {
  const of = `${fact.ingredient}, lot ${fact.lot}:`;
  switch (fact.kind) {
    case 'lot-received': {
      const more = [
        fact.expires === null ? 'does not expire' : `good until ${fact.expires}`,
        ...(fact.pricePerKg === null ? [] : [`${fact.pricePerKg} per kg`]),
        ...(fact.supplierLot === null ? [] : [`supplier's lot ${fact.supplierLot}`]),
        ...(fact.certificate === null ? [] : [`certificate ${fact.certificate}`]),
        ...(fact.jar === null ? [] : [`in ${fact.jar}`]),
        ...(fact.madeIn === undefined ? [] : [`made in batch ${fact.madeIn}`]),
      ];
      return `${of} ${grams(fact.amount)} received; ${more.join('; ')}`;
    }
    case 'lot-blocked':
      return `${of} blocked (${fact.reason})`;
    case 'lot-released':
      return `${of} released again (${fact.reason})`;
    case 'stock-taken': {
      const how = fact.scale === null ? 'typed' : `weighed on the ${fact.scale} scale`;
      return `${of} ${grams(fact.found)} found (${how}), the book had ${grams(fact.book)}: ${grams(fact.difference, true)} (${fact.reason})`;
    }
    case 'lot-short':
      return `${of} the book had ${grams(fact.book)}, and ${grams(fact.short)} more came out of it: the book was wrong by as much`;
    case 'lot-confirmed':
      return `${of} its label was read and is right, for ${fact.draws.join(', ')}`;
  }
}

/** Grams with as many decimals as there are, at least one. */
export function grams(of: Mass, plus = false): string {
  const six = printMass(of, { decimals: 6, plus });
  return `${six.replace(/0{1,5}$/, '')} g`;
}
