/** Names as each place writes them, and when two names are the same. */

/** Where a label is read. */
export type Place = 'EU' | 'US';

/** How makers and suppliers write water; the INCI name is Aqua (from memory). */
const WATER = /^(?:aqua|water|eau)(?:\s*[/(]\s*(?:aqua|water|eau)\s*\)?)*$/i;

/**
 * US names of what has another name in the EU: "fragrance" by 21 CFR 701.3(a); Water and Flavor from memory. All other
 * names are the workshop's own to state (`us`): none is guessed.
 */
const IN_THE_US: ReadonlyMap<string, string> = new Map([
  ['aqua', 'Water'],
  ['parfum', 'Fragrance'],
  ['aroma', 'Flavor'],
]);

export function isWater(name: string): boolean {
  return WATER.test(name.trim());
}

/** A substance's name on the label of a place. */
export function nameIn(
  place: Place,
  { inci, us, nano }: { readonly inci: string; readonly us?: string | undefined; readonly nano?: boolean },
): string {
  const name = isWater(inci) ? 'Aqua' : inci;
  if (place === 'US') return us ?? IN_THE_US.get(keyOf(name)) ?? name;
  return nano ? `${name} (nano)` : name; // Reg. (EC) 1223/2009, Art. 19(1)(g)
}

/** Names that differ by capitals or blanks only are one. */
export function keyOf(name: string): string {
  return name.replace(/\s+/g, ' ').trim().toLowerCase();
}

/** The order among equals: by the alphabet, the same on every computer. */
export function byName(a: string, b: string): number {
  const [first, second] = [keyOf(a), keyOf(b)];
  if (first !== second) return first < second ? -1 : 1;
  return a < b ? -1 : a > b ? 1 : 0;
}
