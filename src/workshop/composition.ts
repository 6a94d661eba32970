/** What an ingredient of `workshop.yaml` is made of: `made of` and `allergens`. Only the label needs them. */
import { z } from 'zod';
import type { AllergenShare, Composition, Part } from './model.ts';
import { nameHint } from './nearest.ts';
import { id, percent, plainText, yesNo } from './quantities.ts';

/** Parts per million in the whole. */
const WHOLE = 1_000_000;
/** The most parts that one material has. */
const MOST_PARTS = 100;
/** Ingredients made of ingredients, this many deep at most: a stock of a blend of a blend. */
export const DEEPEST = 5;

const inciName = plainText('one INCI name, at most 120 characters', 120).refine(
  (name) => !/,\s/.test(name),
  'one INCI name: each part is an entry of its own',
);

const share = percent('50 %', (ppm) => (ppm > 0 && ppm <= WHOLE ? undefined : 'a share above 0 % and at most 100 %'));

const part = z
  .strictObject({
    inci: inciName.optional(),
    of: id.optional(),
    share,
    us: inciName.optional(),
    colour: yesNo.optional(),
    nano: yesNo.optional(),
  })
  .superRefine((entry, context) => {
    const say = (path: string[], message: string) => context.addIssue({ code: 'custom', path, message });
    if ((entry.inci === undefined) === (entry.of === undefined)) {
      say([], 'either `inci`, a substance, or `of`, another ingredient of this workshop');
    }
    for (const key of ['us', 'colour', 'nano'] as const) {
      if (entry.of !== undefined && entry[key] !== undefined) say([key], `no \`${key}\` beside \`of\``);
    }
  });

const madeOf = z
  .array(part)
  .min(1)
  .max(MOST_PARTS)
  .superRefine((parts, context) => {
    const sum = parts.reduce((all, { share: ppm }) => all + ppm, 0);
    // A part that is itself at fault was told: then there is no sum.
    if (!Number.isSafeInteger(sum) || sum === WHOLE) return;
    const off = `they add up to ${sum / 10_000} %`;
    context.addIssue({ code: 'custom', message: 'shares that add up to 100 %', params: { hint: off } });
  });

const allergens = z
  .array(z.strictObject({ inci: inciName, share }))
  .max(MOST_PARTS)
  .superRefine((all, context) => {
    const seen = new Set<string>();
    all.forEach(({ inci }, index) => {
      const key = String(inci).toLowerCase();
      if (seen.has(key)) context.addIssue({ code: 'custom', path: [index, 'inci'], message: 'each allergen once' });
      seen.add(key);
    });
  });

/** The keys of an ingredient or a lot. */
export const compositionKeys = { 'made of': madeOf.optional(), allergens: allergens.optional() };

type Entry = z.output<z.ZodObject<typeof compositionKeys>>;

/** @returns only the keys that the file states */
export function compositionOf(entry: Entry): Composition {
  const stated: { madeOf?: readonly Part[]; allergens?: readonly AllergenShare[] } = {};
  if (entry['made of']) stated.madeOf = entry['made of'].map(partOf);
  if (entry.allergens) stated.allergens = entry.allergens.map(({ inci, share: ppm }) => ({ inci, ppm }));
  return stated;
}

function partOf({ inci, of, share: ppm, us, colour, nano }: z.output<typeof part>): Part {
  if (inci === undefined) return { of: of ?? '', ppm };
  return {
    inci,
    ppm,
    ...(us === undefined ? {} : { us }),
    ...(colour ? { colour } : {}),
    ...(nano ? { nano } : {}),
  };
}

type Ingredients = Readonly<Record<string, Entry & { readonly lots?: Readonly<Record<string, Entry>> | undefined }>>;

/** What is wrong with the ingredients that are made of others: unknown ones, and those that lead back to themselves. */
export function checkCompositions(
  ingredients: Ingredients,
  say: (path: PropertyKey[], message: string, hint?: string) => void,
): void {
  const partsOf = (name: string) => (Object.hasOwn(ingredients, name) ? (ingredients[name]?.['made of'] ?? []) : []);
  const depths = new Map<string, number>();
  /** How deep the parts of an ingredient go; past all bounds where they lead back to it. */
  const depthOf = (name: string): number => {
    const known = depths.get(name);
    if (known !== undefined) return known;
    depths.set(name, Number.POSITIVE_INFINITY); // whoever meets it again before it is known goes round in a circle
    const depth = Math.max(0, ...partsOf(name).flatMap(({ of }) => (of === undefined ? [] : [1 + depthOf(of)])));
    depths.set(name, depth);
    return depth;
  };
  const check = (path: PropertyKey[], entry: Entry, itself: string) => {
    entry['made of']?.forEach(({ of }, index) => {
      if (of === undefined) return;
      const at = [...path, 'made of', index, 'of'];
      if (!Object.hasOwn(ingredients, of)) {
        say(at, 'one of the ingredients', nameHint(of, Object.keys(ingredients)));
      } else if (of === itself || 1 + depthOf(of) > DEEPEST) {
        say(at, `an ingredient whose own parts do not lead back here, nor go deeper than ${DEEPEST}`);
      }
    });
  };
  for (const [name, entry] of Object.entries(ingredients)) {
    check(['ingredients', name], entry, name);
    for (const [code, lot] of Object.entries(entry.lots ?? {})) check(['ingredients', name, 'lots', code], lot, name);
  }
}
