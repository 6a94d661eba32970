/**
 * What can hurt, and what to have ready against it: the usual precautions of workshops, by kind of hazard. Common
 * practice, no source; the supplier's safety data sheet and local rules come first, and it is said so.
 */
import type { Hazard, Ingredient } from '../workshop/model.ts';

interface Precaution {
  /** What to have ready. */
  readonly ready: readonly string[];
  /** What to do while its jar is open. */
  readonly say: string;
}

const GLOVES = 'gloves that it does not go through';
const GOGGLES = 'goggles';

const PRECAUTIONS: Readonly<Record<Hazard, Precaution>> = {
  dust: {
    ready: ['a mask against dust', 'a damp cloth'],
    say: 'Dust: mask on before the jar is opened, and until it is shut. No draught; set the scoop down gently.',
  },
  corrosive: {
    ready: [GLOVES, GOGGLES, 'water to rinse with'],
    say: 'Corrosive: gloves and goggles on before the jar is opened, and until it is shut.',
  },
  flammable: {
    ready: ['open windows or other ventilation, and no flame, spark or hot plate near'],
    say: 'Flammable: no flame, spark or hot plate near, and air the room.',
  },
  sensitiser: {
    ready: [GLOVES, 'open windows or other ventilation'],
    say: 'It can make people allergic to it: gloves on, and air the room.',
  },
  hot: {
    ready: ['gloves against heat', GOGGLES],
    say: 'Hot: gloves against heat and goggles on. Nothing hot stands on the pan.',
  },
};

const ORDER: readonly Hazard[] = ['dust', 'corrosive', 'flammable', 'sensitiser', 'hot'];

/** What an ingredient's form brings with it. */
const OF_FORM: Readonly<Record<NonNullable<Ingredient['form']>, readonly Hazard[]>> = {
  powder: ['dust'],
  granules: [],
  liquid: [],
  molten: ['hot'],
};

/** The hazards of an ingredient: those that are stated, and those of its form. */
export function hazardsOf({ hazards = [], form }: Pick<Ingredient, 'hazards' | 'form'>): Hazard[] {
  const all = new Set([...hazards, ...(form === undefined ? [] : OF_FORM[form])]);
  return ORDER.filter((hazard) => all.has(hazard));
}

/** What is shown before the jar is opened: the precautions of its hazards, then the ingredient's own sentences. */
export function cautionsOf(ingredient: Pick<Ingredient, 'hazards' | 'form' | 'cautions'>): string[] {
  return [...hazardsOf(ingredient).map((hazard) => PRECAUTIONS[hazard].say), ...ingredient.cautions];
}

/**
 * The list of what to have ready for a batch, each thing with what it is for; ends with what comes before all of it.
 * Empty where no hazard is stated: that none is stated does not mean that there is none.
 */
export function haveReady(ingredients: readonly Ingredient[]): string[] {
  const uses = new Map<string, Set<string>>();
  for (const hazard of ORDER) {
    for (const ingredient of ingredients) {
      if (!hazardsOf(ingredient).includes(hazard)) continue;
      for (const thing of PRECAUTIONS[hazard].ready) {
        uses.set(thing, (uses.get(thing) ?? new Set()).add(ingredient.name));
      }
    }
  }
  if (uses.size === 0) return [];
  return [
    ...[...uses].map(([thing, names]) => `Have ready ${thing}: ${[...names].join('; ')}.`),
    "This is the usual, not all: suppliers' safety data sheets and local rules come first, and where they ask for more, do more.",
  ];
}
