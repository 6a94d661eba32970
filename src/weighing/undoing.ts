/** May what was accepted last be taken back now, and was its vessel put back to say so? */
import { isExpected, sameAsBefore } from '../accept/standing.ts';
import { drawOf } from '../facts/apply.ts';
import type { LastAccepted } from '../facts/undo.ts';
import { size } from '../mass/mass.ts';
import { drawNow, netNow, panOf, residueNow, type Scene, scaleOf } from './look.ts';

export interface UndoScene extends Scene {
  /** The moment in which the last acceptance can be taken back is not over. */
  readonly undoOpen: boolean;
  /** Pans that were seen empty since it. */
  readonly undoCleared: readonly string[];
}

/** How long after an acceptance it can be taken back by one key, milliseconds. */
export const UNDO_MS = 20_000;

/**
 * What can be taken back now; null when nothing. Not once the hand has gone on: when something has come into the next
 * draw, or the cup was lifted to be tipped, the pan no longer tells what belongs to which.
 */
export function undoableNow(scene: UndoScene): LastAccepted | null {
  const last = scene.batch.undoable;
  if (last === null || !scene.undoOpen) return null;
  const draw = drawNow(scene);
  if (!draw) return last;
  const state = scene.batch.draws[draw.id];
  if (state?.status === 'weighed') return isStillFull(scene) ? last : null;
  if (state?.base == null) return last;
  const net = netNow(scene);
  return net !== null && size(net) <= 2 * scaleOf(scene, draw.scale).d ? last : null;
}

/** The cup that is to be tipped stands on its pan as it was weighed. */
function isStillFull(scene: Scene): boolean {
  const draw = drawNow(scene);
  if (!draw || residueNow(scene) !== null) return false;
  const pan = panOf(scene, draw.scale);
  const load = scene.batch.vessels[draw.on]?.load;
  return (
    pan.state === 'settled' &&
    load !== undefined &&
    isExpected(pan.load, sameAsBefore(load, scaleOf(scene, draw.scale)))
  );
}

/** Whether the vessel of the draw accepted last was lifted and put back, although another one comes next. */
export function isPutBack(scene: UndoScene): boolean {
  const last = undoableNow(scene);
  const done = last?.of === 'weighed' ? drawOf(scene.batch, last.id) : undefined;
  if (!done || drawNow(scene)?.on === done.on || !scene.undoCleared.includes(done.scale)) return false;
  const pan = panOf(scene, done.scale);
  const load = scene.batch.vessels[done.on]?.load;
  if (load === undefined || !pan.dwelt || !pan.zeroKnown || pan.doubted) return false;
  return isExpected(pan.load, sameAsBefore(load, scaleOf(scene, done.scale)));
}
