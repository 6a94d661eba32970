/** Where everything is that has gone in, and how full the vessels are with it. */
import { mass, minus } from '../mass/mass.ts';
import { type Contents, filled, volumeOf } from '../plan/contents.ts';
import type { PlannedDraw } from '../plan/model.ts';
import type { Line } from './lines.ts';
import type { RescueInput } from './model.ts';

/** The vessel that a draw's content is in by now: its own, or the one that was emptied into. */
export function vesselNow({ state }: Pick<RescueInput, 'state'>, draw: PlannedDraw): string {
  return Object.entries(state.vessels).find(([, { holds }]) => holds.includes(draw.id))?.[0] ?? draw.vessel;
}

/** The vessel that most of a line is in. */
export function vesselOfLine(input: Pick<RescueInput, 'state'>, { parts, phase }: Line): string {
  const largest = [...parts].sort((a, b) => b.amount - a.amount)[0];
  return largest ? vesselNow(input, largest.draw) : phase.vessel;
}

/** What every vessel holds; what is held on the pan counts as being where it is meant for. */
export function contentsNow(input: Pick<RescueInput, 'state'>, lines: readonly Line[]): Contents {
  let contents: Contents = new Map();
  for (const { parts, ingredient } of lines) {
    for (const { draw, amount } of parts) {
      const ml = volumeOf(amount, ingredient.density) ?? 0;
      contents = filled(contents, vesselNow(input, draw), { most: mass(Math.max(0, amount)), ml });
    }
  }
  return contents;
}

/** What still fits into a lot's book: what it had, less what has left it. */
export function leftOf(input: Pick<RescueInput, 'workshop'>, used: ReadonlyMap<string, number>, draw: PlannedDraw) {
  const lot = input.workshop.ingredients.get(draw.ingredient)?.lots.find(({ id }) => id === draw.lot);
  return minus(lot?.onHand ?? mass(0), mass(used.get(`${draw.ingredient} ${draw.lot}`) ?? 0));
}
