/** What the zero of the present draw's scale may do to it: pure questions, like those of `look.ts`. */
import { driftBound } from '../accept/budget.ts';
import { greater, type Mass, ZERO } from '../mass/mass.ts';
import { drawNow, panNow, type Scene, scaleOf } from './look.ts';

/**
 * Whether the display shows about zero although a vessel stands there, since the scale was zeroed under it. Scales hide
 * slow small additions while they show zero, so nothing is poured before the empty pan is the scale's zero again.
 */
export function isZeroedUnder(scene: Scene): boolean {
  const draw = drawNow(scene);
  const pan = panNow(scene);
  if (!draw || pan.state !== 'settled') return false;
  const { d } = scaleOf(scene, draw.scale);
  return Math.abs(pan.load + pan.zero) <= 20 * d && pan.load > 100 * d;
}

/**
 * How far the zero of the present draw's scale may have moved since its empty pan was last read; and how far its vessel's
 * weight is in doubt, as the zero moved before that.
 */
export function zeroDriftNow(scene: Scene): Mass {
  const draw = drawNow(scene);
  if (!draw) return ZERO;
  const drift = driftBound(panNow(scene).zeroShift, scaleOf(scene, draw.scale).d);
  return greater(drift, scene.batch.vessels[draw.on]?.doubt ?? ZERO);
}
