/** What stands on any pan of the bench, told by its weight; not only what the present draw needs on its own. */
import { isExpected, sameAsBefore, usualTare } from '../accept/standing.ts';
import { drawNow, expectedLoad, panOf, type Scene, scaleOf, standing } from './look.ts';

/** The vessel on a pan that rests against a known zero; undefined where none fits. */
export function vesselOn(scene: Scene, scale: string): string | undefined {
  const pan = panOf(scene, scale);
  if (pan.state !== 'settled' || !pan.zeroKnown || pan.doubted) return undefined;
  const draw = drawNow(scene);
  if (draw?.scale === scale) {
    const isIt = standing(scene) === 'right' || isExpected(pan.load, expectedLoad(scene, draw));
    if (isIt) return draw.on;
  }
  const step = scaleOf(scene, scale);
  return Object.values(scene.batch.plan.vessels).find(({ id, tare }) => {
    const known = scene.batch.vessels[id];
    return isExpected(pan.load, known ? sameAsBefore(known.load, step) : usualTare(tare, step));
  })?.id;
}
