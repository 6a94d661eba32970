/** What a rescue would have to mend now, and what was worked out for it. Pure. */
import type { Held, Offer, Rescue } from '../rescue/model.ts';
import { drawNow, drawStateNow, netNow, panNow, type Scene, scaleOf, standing, verdictNow } from './look.ts';

/** What is asked for, and what was found; null: it is still being worked out. */
export interface RescueSeen {
  readonly held: Held;
  readonly found: Rescue | null;
}

export interface RescueScene extends Scene {
  /** Holds for the batch as it is: with the next fact that changes it, it is forgotten. */
  readonly rescue: RescueSeen | null;
}

/** Too much that rests on the pan and is in the log; null while anything about it is in doubt. */
export function heldNow(scene: Scene): Held | null {
  const draw = drawNow(scene);
  const net = netNow(scene);
  if (!draw || net === null || verdictNow(scene) !== 'over' || standing(scene) !== 'right') return null;
  const isNoted = (drawStateNow(scene)?.peak ?? -1) >= net;
  return isNoted && !panNow(scene).doubted ? { draw: draw.id, net } : null;
}

/**
 * Whether it was worked out for this weight, or for one interval more: a number that trembles between two figures must
 * not close the page each time, and a little less in is right by the same offer, or can be filled up.
 */
function isFor(scene: RescueScene, { draw, net }: Held): boolean {
  const asked = scene.rescue?.held;
  const planned = drawNow(scene);
  if (!planned || asked?.draw !== draw) return false;
  return net <= asked.net && net >= asked.net - scaleOf(scene, planned.scale).d;
}

/** Whether nobody has asked yet what can be done about what is held now. */
export function isToBeFound(scene: RescueScene): boolean {
  const held = heldNow(scene);
  return held !== null && !isFor(scene, held);
}

/** What was found for the weight that rests on the pan now; null while there is none. */
export function rescueNow(scene: RescueScene): Rescue | null {
  const held = heldNow(scene);
  return held !== null && isFor(scene, held) ? (scene.rescue?.found ?? null) : null;
}

/**
 * What may be read of it: also while the pan trembles, until it rests at another weight. A yes is heard only at rest.
 */
export function rescueToRead(scene: RescueScene): Rescue | null {
  return panNow(scene).state === 'moving' ? (scene.rescue?.found ?? null) : rescueNow(scene);
}

/** Whether the maker's yes is to something that holds at this moment. */
export function isOffered(scene: RescueScene, offer: Offer): boolean {
  return rescueNow(scene)?.offers.includes(offer) === true;
}
