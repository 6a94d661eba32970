/** Which of the workshop's ingredients a sheet's names mean. Only what is the same in all but its writing is taken. */
import type { Ingredient, Workshop } from '../workshop/model.ts';
import { nearest } from '../workshop/nearest.ts';

/** A name as a sheet gives it. */
export interface SheetName {
  readonly name: string;
  readonly inci: string | undefined;
}

export interface Unmatched extends SheetName {
  /** Ingredients that it may mean: several that fit alike, or the nearest. */
  readonly maybe: readonly Ingredient[];
}

export interface Matched {
  /** Ingredient by the sheet's name. */
  readonly known: ReadonlyMap<string, Ingredient>;
  readonly unknown: readonly Unmatched[];
}

/** Letters and digits only, without accents, so that `Shea-Butter` is `shea butter`. */
export function plainName(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** The name without what stands behind a comma or in brackets: `Shea butter, refined` is `Shea butter`. */
function bareName(name: string): string {
  return plainName(name.replace(/\(.*?\)/g, ' ').replace(/[,;].*$/, ''));
}

function candidates({ name, inci }: SheetName, all: readonly Ingredient[]): readonly Ingredient[] {
  const full = plainName(name);
  const bare = bareName(name);
  const ways: readonly ((each: Ingredient) => boolean)[] = [
    (each) => plainName(each.id) === full || plainName(each.name) === full,
    (each) => plainName(each.id) === bare || bareName(each.name) === bare,
    (each) => inci !== undefined && plainName(each.inci) === plainName(inci),
    (each) => plainName(each.inci) === full,
  ];
  for (const way of ways) {
    const found = all.filter(way);
    if (found.length > 0) return found;
  }
  return [];
}

function near({ name }: SheetName, all: readonly Ingredient[]): readonly Ingredient[] {
  const close = nearest(
    plainName(name),
    all.map((each) => plainName(each.name)),
  );
  const words = new Set(
    plainName(name)
      .split(' ')
      .filter((word) => word.length > 3),
  );
  const shared = (each: Ingredient) =>
    plainName(each.name)
      .split(' ')
      .filter((word) => words.has(word)).length;
  const best = Math.max(0, ...all.map(shared));
  const some = all.filter((each) => plainName(each.name) === close || (best > 0 && shared(each) === best));
  return some.slice(0, 3);
}

/**
 * @param same what the maker says a name means: ingredient ids by the sheet's names, in any case
 */
export function matchIngredients(
  names: readonly SheetName[],
  { ingredients }: Workshop,
  same: ReadonlyMap<string, string> = new Map(),
): Matched {
  const all = [...ingredients.values()];
  const said = new Map([...same].map(([name, id]) => [plainName(name), id]));
  const known = new Map<string, Ingredient>();
  const unknown = new Map<string, Unmatched>();
  for (const each of names) {
    const told = ingredients.get(said.get(plainName(each.name)) ?? '');
    const found = told ? [told] : candidates(each, all);
    const [one, second] = found;
    if (one !== undefined && second === undefined) known.set(each.name, one);
    else if (!unknown.has(each.name)) unknown.set(each.name, { ...each, maybe: second ? found : near(each, all) });
  }
  return { known, unknown: [...unknown.values()] };
}
