/** The workshop's ingredients as they were when a batch was begun, as far as its plan has kept them. */
import { cleanText } from '../facts/cleanText.ts';
import { materialOf } from '../plan/materials.ts';
import type { Plan, PlannedMaterial } from '../plan/model.ts';
import type { Composition, Ingredient, Lot, Workshop } from '../workshop/model.ts';

export interface AsBegun {
  readonly workshop: Workshop;
  /** What should be known of it, sentences. */
  readonly notes: readonly string[];
}

/** Text that was read back from a log is clean only once it has been cleaned. */
function cleaned({ madeOf, allergens }: Composition): Composition {
  const clean = (text: string) => cleanText(text).replace(/\s+/g, ' ').trim() || '(no name)';
  return {
    ...(madeOf && {
      madeOf: madeOf.map((part) =>
        'of' in part
          ? part
          : { ...part, inci: clean(part.inci), ...(part.us === undefined ? {} : { us: clean(part.us) }) },
      ),
    }),
    ...(allergens && { allergens: allergens.map((each) => ({ ...each, inci: clean(each.inci) })) }),
  };
}

function lotOf(id: string, own: Composition): Lot {
  return { id, onHand: 0 as Lot['onHand'], expires: undefined, pricePerKg: undefined, jar: undefined, ...cleaned(own) };
}

function ingredientOf(id: string, kept: PlannedMaterial): Ingredient {
  return {
    id,
    name: cleanText(kept.name),
    inci: cleanText(kept.inci),
    ...(kept.active === undefined ? {} : { active: kept.active }),
    density: undefined,
    lots: Object.entries(kept.lots ?? {}).map(([lot, own]) => lotOf(lot, own)),
    cautions: [],
    ...cleaned(kept),
  };
}

/** What is stated, for comparing: the same text where it is the same, in whatever order its keys stand. */
function statedText({ madeOf, allergens }: Composition): string {
  const parts = madeOf?.map((part) =>
    'of' in part ? [part.of, part.ppm] : [part.inci, part.ppm, part.us, part.colour ?? false, part.nano ?? false],
  );
  return JSON.stringify([parts, allergens?.map(({ inci, ppm }) => [inci, ppm])]);
}

/** Whether a material is stated as it was. A lot that has come since does not matter. */
function isAsBefore(now: PlannedMaterial, then: PlannedMaterial): boolean {
  const lots = Object.entries(then.lots ?? {});
  const lotNow = (id: string): Composition => now.lots?.[id] ?? {};
  return (
    now.active === then.active &&
    statedText(now) === statedText(then) &&
    lots.every(([id, own]) => statedText(lotNow(id)) === statedText(own))
  );
}

/** Whether nothing was stated of what a material is made of, so that a later statement can only add to it. */
function isBare({ madeOf, allergens, lots }: PlannedMaterial): boolean {
  return madeOf === undefined && allergens === undefined && lots === undefined;
}

/**
 * What was stated when the batch was begun counts, whatever has become of the file. Of what nothing was stated then, the
 * file of today is taken: a label that could not be written for want of a statement can be written later.
 * @param today the workshop as its file says now
 */
export function asBegun({ materials }: Pick<Plan, 'materials'>, today: Workshop): AsBegun {
  if (materials === undefined) {
    return {
      workshop: today,
      notes: ['What the ingredients are made of is taken from the workshop file as it is today.'],
    };
  }
  const notes: string[] = [];
  const ingredients = new Map(today.ingredients);
  for (const [id, kept] of Object.entries(materials)) {
    const now = today.ingredients.get(id);
    const isNew = now !== undefined && !isAsBefore(materialOf(now), kept);
    if (isNew && isBare(kept)) {
      notes.push(
        `${now.name}: what it is made of was stated after the batch was begun, and is taken from the file of today.`,
      );
      continue;
    }
    if (isNew) {
      notes.push(
        `${now.name}: the workshop file states something else by now than when the batch was begun. What was stated then counts; --as-stated-now takes the file of today.`,
      );
    }
    ingredients.set(id, ingredientOf(id, kept));
  }
  return { workshop: { ...today, ingredients }, notes };
}
