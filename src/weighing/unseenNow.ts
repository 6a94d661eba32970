/** Which accepted draws an empty pan has, or has not yet, shown to be weighed from a zero that stayed: pure questions. */
import { drawNow, type Scene } from './look.ts';
import { isUntrusted } from './pans.ts';

/** Draws after which an empty pan was read, which the log does not know yet. */
export function newlySeen({ batch, pans }: Scene): readonly string[] {
  const seen = Object.values(pans).flatMap((pan) => pan.seen);
  return batch.unseen.filter((draw) => seen.includes(draw));
}

/** Draws that no empty pan has told of. */
export function unseenNow(scene: Scene): readonly string[] {
  const seen = newlySeen(scene);
  return scene.batch.unseen.filter((draw) => !seen.includes(draw));
}

/** A scale on which something was weighed that a look at its empty pan would still tell of; undefined when none is left. */
export function scaleToLookAt({ pans }: Scene): string | undefined {
  return Object.entries(pans).find(([, pan]) => pan.weighed.length > 0 && pan.zeroKnown && !isUntrusted(pan))?.[0];
}

/** The scale that is looked at now: the present draw's, or the one for the last look. */
export function scaleInHand(scene: Scene): string | undefined {
  return drawNow(scene)?.scale ?? scaleToLookAt(scene);
}
