/** What has to be known beside a label's list: one sentence each. */
import { printPercent } from '../formula/checkFormula.ts';
import type { Use } from '../formula/model.ts';
import { isKnownAllergen, wholeOilName } from './allergenNames.ts';
import { THRESHOLD } from './allergens.ts';
import type { Row } from './ingredientList.ts';
import { keyOf } from './names.ts';
import { isColourIndex, type TakenApart } from './takeApart.ts';

/** Goes with every list. */
export const CHECK_IT =
  'This is a help for writing a label, no legal advice. Before you print, have it checked by a qualified person against the law of each place where you sell.';

/** @param used undefined where nobody said whether the product is rinsed off */
export function allergenNotes(mix: TakenApart, used: Use | undefined): string[] {
  const use = used ?? 'leave-on';
  const carriers = [...new Set(mix.allergens.map(({ from }) => from))];
  const notes = [];
  if (used === undefined) {
    notes.push(
      'Whether it is rinsed off is not stated: it is taken to stay on the skin, which is stricter. In the formula: `label: { use: rinse-off }`.',
    );
  }
  const over = `over ${printPercent(THRESHOLD[use])} of the finished product (${use})`;
  notes.push(
    carriers.length === 0
      ? `No ingredient states fragrance allergens, so none is named. Oils and perfumes carry some: the EU wants those ${over} named.`
      : `EU: fragrance allergens ${over} are named, as stated of ${carriers.join(' and ')}. Of no other ingredient any is stated.`,
    'US: no fragrance allergens are named. Look up whether a rule asks for it by now.',
  );
  for (const name of new Set(mix.allergens.map(({ inci }) => inci))) {
    if (!isKnownAllergen(name)) {
      notes.push(`${name} is stated as an allergen, and is not among the names of the annex known here: look it up.`);
    }
  }
  const stated = new Set(mix.allergens.map(({ inci }) => keyOf(inci)));
  for (const name of new Set(mix.substances.map(({ inci }) => inci))) {
    const whole = wholeOilName(name);
    if (whole !== undefined && !stated.has(keyOf(whole))) {
      notes.push(`${name}: the annex seems to list the whole of it, as ${whole}. Look up how it has to be named.`);
    }
  }
  return notes;
}

/** Names that weigh the same: where it matters, what is really weighed decides. */
export function tieNotes(rows: readonly Row[], basis: 'weighed' | 'planned'): string[] {
  return rows.flatMap(({ name, group, tied }, index) => {
    const before = rows[index - 1];
    if (!tied || group !== 'main' || before === undefined) return [];
    const decides = basis === 'planned' ? 'the weights really used decide their order' : 'the alphabet decided';
    return [`${before.name} and ${name} weigh the same: ${decides}.`];
  });
}

/** What the rules leave to people. */
export function ruleNotes(mix: TakenApart): string[] {
  const named = new Set(mix.substances.flatMap(({ inci, us }) => (us === undefined ? [] : [keyOf(inci)])));
  const colours = new Set(mix.substances.filter(({ colour }) => colour).map(({ inci }) => inci));
  const indexed = [...colours].filter((inci) => isColourIndex(inci) && !named.has(keyOf(inci)));
  const notes = [];
  if (indexed.length > 0) {
    notes.push(
      `US: colours go by their names there, not by a CI number. State \`us\` beside ${indexed.join(', ')} in its \`made of\`.`,
    );
  }
  if (colours.size > 0) {
    notes.push('US: a colour that has to be certified must come from a certified lot. Look at its label.');
  }
  notes.push(
    'Nothing is left out: what is an incidental ingredient (US), an impurity or a technical aid (EU) is not guessed.',
    'Not on this sheet: who answers for the product, the batch number, how long it keeps, what it is for, and warnings. Which precautions the skin, eyes and children need is for the safety assessment to say.',
    'Letters: at least 1/16 inch high in the US (21 CFR 701.3); legible and indelible in the EU.',
  );
  return notes;
}
