/** What the maker should know before starting, though it stops nothing. */
import { ZERO } from '../mass/mass.ts';
import type { Ingredient, Lot, Workshop } from '../workshop/model.ts';
import type { Choice } from './chooseWay.ts';
import { grams } from './inWords.ts';
import type { Piece, Stock } from './lots.ts';

/** A lot that ends within so many days is named. */
const SOON_DAYS = 30;
const DAY_MS = 86_400_000;

/** Days from one day to another, both `YYYY-MM-DD`. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(`${to}T00:00:00Z`) - Date.parse(`${from}T00:00:00Z`)) / DAY_MS);
}

interface PlannedIngredient {
  readonly ingredient: Ingredient;
  readonly pieces: readonly Piece[];
  readonly expired: readonly Lot[];
  readonly passedOver: readonly Stock[];
  readonly choice: Choice;
  readonly today: string;
}

export function noteDraw({ ingredient, pieces, expired, passedOver, choice, today }: PlannedIngredient): string[] {
  const { name } = ingredient;
  const notes: string[] = [];
  for (const { id, expires } of expired) {
    notes.push(`${name}: lot ${id} expired on ${expires ?? ''} and is left out.`);
  }
  for (const { id, blocked } of ingredient.lots) {
    if (blocked !== undefined) notes.push(`${name}: lot ${id} is blocked and left out (${blocked}).`);
  }
  for (const { lot, onHand } of passedOver) {
    notes.push(
      `${name}: lot ${lot.id} holds only ${grams(onHand)}, too little for a part of this draw; it is passed over.`,
    );
  }
  if (pieces.length > 1) {
    const shares = pieces.map(({ lot, amount }) => `${grams(amount)} of ${lot.id}`);
    notes.push(`${name}: ${pieces.length} lots, ${shares.join(', then ')}.`);
  }
  notes.push(...noteParts(name, pieces, choice));
  for (const { lot } of pieces) {
    const days = lot.expires === undefined ? undefined : daysBetween(today, lot.expires);
    if (days !== undefined && days <= SOON_DAYS) {
      notes.push(
        `${name}: lot ${lot.id} is good for ${days} more ${days === 1 ? 'day' : 'days'}, until ${lot.expires ?? ''}.`,
      );
    }
  }
  if (ingredient.density === undefined) {
    notes.push(`${name}: its density is not known, so look whether the vessel has room for it.`);
  }
  if (choice.fit.judged.guard > 0) {
    notes.push(
      `${name}: the ${choice.scale.id} scale is just good enough, so the band is narrowed by ${grams(choice.fit.judged.guard)} on each side.`,
    );
  }
  return notes;
}

/** A draw in more weighings than it has lots. */
function noteParts(name: string, lots: readonly Piece[], { way, pieces, on, into }: Choice): string[] {
  if (pieces.length === lots.length) return [];
  if (way === 'cup') {
    return [
      `${name}: ${pieces.length} cups of about ${grams(pieces[0]?.amount ?? ZERO)}, as ${on[0]?.name ?? 'one'} holds no more.`,
    ];
  }
  const shares = pieces.map(({ amount }, index) => `${grams(amount)} in ${into[index]?.name ?? ''}`);
  const first = into[0]?.name ?? '';
  return [`${name}: ${shares.join(', ')}. What is done with ${first} later is done with each of them.`];
}

export function noteVessels({ vessels }: Workshop, used: readonly string[]): string[] {
  return used.flatMap((id) => {
    const vessel = vessels.get(id);
    return vessel?.note === undefined ? [] : [`${vessel.name}: ${vessel.note}`];
  });
}
