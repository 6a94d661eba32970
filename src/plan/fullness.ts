/** Vessels that will be nearly full: said before the work begins, and again at the draw that fills them. */
import type { Choice } from './chooseWay.ts';
import { contentOf, volumeOf } from './contents.ts';
import { mostOfPart } from './parts.ts';
import type { DrawAt } from './planDraw.ts';
import { margins } from './plannedBand.ts';
import type { Walk } from './walk.ts';

/** From this share of its usable volume on. */
const NEARLY_FULL = 0.9;

/** `Beaker will be up to 95 % full.`; null where there is room enough. */
export function nearlyFull(name: string, ml: number, usableMl: number | undefined): string | null {
  if (usableMl === undefined || ml < NEARLY_FULL * usableMl) return null;
  const sentence = `${name} will be up to ${Math.round((100 * ml) / usableMl)} % full.`;
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/**
 * What to say at each weighing of a draw; the plan's notes get the same. To be asked when the draw is in its vessel.
 * @returns one entry for each weighing; null where there is room enough
 */
export function noteFullness(walk: Walk, { draw, target, ingredient }: DrawAt, { pieces, on, into, way }: Choice) {
  const amounts = pieces.map(({ amount }) => amount);
  const margin = margins(target, draw.tolerance);
  return pieces.map((_, index): string | null => {
    const where = into[index];
    const cup = way === 'cup' ? on[index] : undefined;
    const inCup = volumeOf(mostOfPart(amounts, index, margin), ingredient.density) ?? 0;
    const isLast = into.slice(index + 1).every((later) => later.id !== where?.id);
    const said = [
      cup ? nearlyFull(cup.name, inCup, cup.usableMl) : null,
      where && isLast ? nearlyFull(where.name, contentOf(walk.contents, where.id).ml, where.usableMl) : null,
    ].filter((each) => each !== null);
    walk.notes.push(...said);
    return said.length === 0 ? null : said.join(' ');
  });
}
