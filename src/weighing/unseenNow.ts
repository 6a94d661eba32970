/** Which accepted draws an empty pan has, or has not yet, shown to be weighed from a zero that stayed: pure questions. */
import { drawOf } from '../facts/apply.ts';
import { drawNow, type Scene } from './look.ts';
import { isUntrusted } from './pans.ts';
import { stepVessel } from './stepPans.ts';

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

/** Scales on which something was weighed that a look at their empty pan would still tell of. */
function scalesToLookAt({ pans }: Scene): readonly string[] {
  const isToLookAt = (id: string) => {
    const pan = pans[id];
    return pan !== undefined && pan.weighed.length > 0 && pan.zeroKnown && !isUntrusted(pan);
  };
  return Object.keys(pans).filter(isToLookAt);
}

/** The first of them; undefined when none is left. */
export function scaleToLookAt(scene: Scene): string | undefined {
  return scalesToLookAt(scene)[0];
}

/**
 * Scales that are left standing while work between draws is done on another vessel: they may fall asleep meanwhile, and
 * then nothing tells any more whether their zero had stayed.
 */
export function scalesLeft(scene: Scene): readonly string[] {
  const vessel = stepVessel(scene);
  const isOther = (id: string) => drawOf(scene.batch, id)?.on !== vessel;
  return scalesToLookAt(scene).filter((scale) => scene.pans[scale]?.weighed.every(({ draw }) => isOther(draw)));
}

/** The scale that is looked at now: the present draw's, or the one for the last look. */
export function scaleInHand(scene: Scene): string | undefined {
  return drawNow(scene)?.scale ?? scaleToLookAt(scene);
}
