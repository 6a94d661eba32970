/** The fact that a maker's yes to an offer becomes. */
import type { Happened } from '../facts/fact.ts';
import type { Held, Offer } from './model.ts';

export function rescuedBy({ meant, from, plan, topUps, say }: Offer, held: Held | null): Happened {
  return { kind: 'rescued', draw: held?.draw ?? null, meant, from, plan, topUps: topUps.map(({ draw }) => draw), say };
}
