/**
 * The names of fragrance allergens in Annex III of Reg. (EC) 1223/2009. They decide nothing: what an oil carries is its
 * supplier's to state, and all that is stated counts. They only find slips of spelling, and oils that are named themselves.
 *
 * The first 24 are from memory (entries 45 and 67 to 92); the 56 that Reg. (EU) 2023/1545 added are taken from published
 * summaries of it, not from the Official Journal itself. Look there before you print.
 */
import { isWater, keyOf } from './names.ts';

export const LONG_KNOWN: readonly string[] = [
  'Alpha-Isomethyl Ionone',
  'Amyl Cinnamal',
  'Amylcinnamyl Alcohol',
  'Anise Alcohol',
  'Benzyl Alcohol',
  'Benzyl Benzoate',
  'Benzyl Cinnamate',
  'Benzyl Salicylate',
  'Cinnamal',
  'Cinnamyl Alcohol',
  'Citral',
  'Citronellol',
  'Coumarin',
  'Eugenol',
  'Evernia Furfuracea Extract',
  'Evernia Prunastri Extract',
  'Farnesol',
  'Geraniol',
  'Hexyl Cinnamal',
  'Hydroxycitronellal',
  'Isoeugenol',
  'Limonene',
  'Linalool',
  'Methyl 2-Octynoate',
];

export const ADDED_2023: readonly string[] = [
  '3-Propylidenephthalide',
  'Acetyl Cedrene',
  'Alpha-Terpinene',
  'Amyl Salicylate',
  'Anethole',
  'Benzaldehyde',
  'Beta-Caryophyllene',
  'Camphor',
  'Carvone',
  'Dimethyl Phenethyl Acetate',
  'Eugenyl Acetate',
  'Geranyl Acetate',
  'Hexadecanolactone',
  'Hexamethylindanopyran',
  'Isoeugenyl Acetate',
  'Linalyl Acetate',
  'Menthol',
  'Methyl Salicylate',
  'Pinene',
  'Rose Ketones',
  'Salicylaldehyde',
  'Santalol',
  'Sclareol',
  'Terpineol',
  'Terpinolene',
  'Tetramethyl Acetyloctahydronaphthalenes',
  'Trimethylbenzenepropanol',
  'Trimethylcyclopentenyl Methylisopentenol',
  'Vanillin',
  'Cananga Odorata Oil/Extract',
  'Cedrus Atlantica Oil/Extract',
  'Cinnamomum Cassia Leaf Oil',
  'Cinnamomum Zeylanicum Bark Oil',
  'Citrus Aurantium Bergamia Peel Oil',
  'Citrus Aurantium Flower Oil',
  'Citrus Aurantium Peel Oil',
  'Citrus Limon Peel Oil',
  'Eucalyptus Globulus Oil',
  'Eugenia Caryophyllus Oil',
  'Jasmine Oil/Extract',
  'Juniperus Virginiana Oil',
  'Laurus Nobilis Leaf Oil',
  'Lavandula Oil/Extract',
  'Lemongrass Oil',
  'Lippia Citriodora Absolute',
  'Mentha Piperita Oil',
  'Mentha Viridis Leaf Oil',
  'Myroxylon Pereirae Oil/Extract',
  'Narcissus Extract',
  'Pelargonium Graveolens Flower Oil',
  'Pinus Mugo',
  'Pinus Pumila',
  'Pogostemon Cablin Oil',
  'Rose Flower Oil/Extract',
  'Santalum Album Oil',
  'Turpentine',
];

const KNOWN: ReadonlySet<string> = new Set([...LONG_KNOWN, ...ADDED_2023].map(keyOf));

export function isKnownAllergen(inci: string): boolean {
  return KNOWN.has(keyOf(inci));
}

/** Plant names, as INCI names begin, and the annex's name for their oils and extracts. */
const PLANTS: readonly (readonly [string, string])[] = [
  ...ADDED_2023.filter((name) => /^[A-Z][a-z]+ [A-Z][a-z]+ .*(?:Oil|Extract|Absolute)/.test(name)).map(
    (name) => [keyOf(name).split(' ').slice(0, 2).join(' '), name] as const,
  ),
  ['lavandula', 'Lavandula Oil/Extract'],
  ['jasminum', 'Jasmine Oil/Extract'],
  ['cymbopogon', 'Lemongrass Oil'],
  ['rosa damascena', 'Rose Flower Oil/Extract'],
  ['rosa centifolia', 'Rose Flower Oil/Extract'],
  ['narcissus', 'Narcissus Extract'],
];

/** The annex's own name for an oil or extract that it seems to list as a whole; undefined for all others. */
export function wholeOilName(inci: string): string | undefined {
  const name = keyOf(inci);
  if (isWater(inci) || !/\b(?:oil|extract|absolute)\b/.test(name)) return undefined;
  return PLANTS.find(([plant]) => name.startsWith(plant))?.[1];
}
