/** What the zero of the present draw's scale may do to it: pure questions, like those of `look.ts`. */
import { driftBound } from '../accept/budget.ts';
import { sameAsBefore } from '../accept/standing.ts';
import { wanted } from '../facts/wanted.ts';
import { greater, type Mass, ZERO } from '../mass/mass.ts';
import { drawNow, panNow, type Scene, scaleOf } from './look.ts';

/** Within so many intervals of its zero a display may hide slow additions (OIML R 76-1 allows half an interval a second). */
const NEAR_ZERO_D = 20;
/** So many intervals must stand there to tell a vessel on a display set to zero from an empty pan. */
const LEAST_LOAD_D = 2 * NEAR_ZERO_D;

/**
 * Whether the display's own zero lies within the draw although a vessel stands there, since the scale was zeroed under
 * it or under another. Scales hide slow small additions while they show zero, so nothing is poured before the empty pan
 * is the scale's zero again.
 */
export function isZeroedUnder(scene: Scene): boolean {
  const draw = drawNow(scene);
  const pan = panNow(scene);
  if (!draw || pan.state !== 'settled') return false;
  const { d } = scaleOf(scene, draw.scale);
  if (pan.load <= LEAST_LOAD_D * d) return false;
  const shown = pan.load + pan.zero;
  const { high } = wanted(scene.batch, draw);
  const until = draw.way === 'subtract' ? shown - high : shown + high;
  return Math.min(shown, until) <= NEAR_ZERO_D * d && Math.max(shown, until) >= -NEAR_ZERO_D * d;
}

/**
 * How far the zero of the present draw's scale may have moved since its empty pan was last read; and how far its vessel's
 * weight is in doubt, as the zero moved before that, or as nothing but the vessel itself told where the zero is.
 */
export function zeroDriftNow(scene: Scene): Mass {
  const draw = drawNow(scene);
  if (!draw) return ZERO;
  const scale = scaleOf(scene, draw.scale);
  const { zeroShift, provedByVessel } = panNow(scene);
  const doubt = greater(driftBound(zeroShift, scale.d), scene.batch.vessels[draw.on]?.doubt ?? ZERO);
  return provedByVessel ? greater(doubt, sameAsBefore(ZERO, scale).within) : doubt;
}
