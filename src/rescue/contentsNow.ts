/** Where everything is that has gone in, and how full the vessels are with it. */
import { mass, minus } from '../mass/mass.ts';
import { type Contents, filled, volumeOf } from '../plan/contents.ts';
import type { PlannedDraw } from '../plan/model.ts';
import type { Line } from './lines.ts';
import type { RescueInput } from './model.ts';

/** What every vessel holds; what is held on the pan counts as being where it is meant for. */
export function contentsNow(lines: readonly Line[]): Contents {
  let contents: Contents = new Map();
  for (const { parts, ingredient } of lines) {
    for (const { amount, where } of parts) {
      const ml = volumeOf(amount, ingredient.density) ?? 0;
      contents = filled(contents, where, { most: mass(Math.max(0, amount)), ml });
    }
  }
  return contents;
}

/** What still fits into a lot's book: what it had, less what has left it. */
export function leftOf(input: Pick<RescueInput, 'workshop'>, used: ReadonlyMap<string, number>, draw: PlannedDraw) {
  const lot = input.workshop.ingredients.get(draw.ingredient)?.lots.find(({ id }) => id === draw.lot);
  return minus(lot?.onHand ?? mass(0), mass(used.get(`${draw.ingredient} ${draw.lot}`) ?? 0));
}
