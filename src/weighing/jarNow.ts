/** Double entry: what left a lot's jar must be what came into the cup or vessel. As the pans show it now. */
import { isExpected, sameAsBefore } from '../accept/standing.ts';
import { netUncertainty } from '../accept/uncertainty.ts';
import { drawOf } from '../facts/apply.ts';
import { type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw } from '../plan/model.ts';
import { type Scene, scaleOf, stepNow } from './look.ts';
import type { Pan } from './pans.ts';
import { isPutOnSince } from './stepPans.ts';

export interface JarNow {
  readonly scale: string;
  readonly load: Mass;
  /** What has left the jar since it was weighed before; null before the draw. */
  readonly left: Mass | null;
  /** What came in. */
  readonly came: Mass | null;
  readonly allowed: Mass | null;
  readonly isRight: boolean;
  readonly dwelt: boolean;
}

/** The draw whose jar is to be weighed now; undefined in any other step. */
export function jarDraw(scene: Scene): PlannedDraw | undefined {
  const jar = stepNow(scene)?.jar;
  return jar && drawOf(scene.batch, jar.draw);
}

/** The jar, at rest on a pan; null while nothing stands there that could be it. */
export function jarNow(scene: Scene): JarNow | null {
  const draw = jarDraw(scene);
  if (!draw) return null;
  for (const [scale, pan] of Object.entries(scene.pans)) {
    if (pan.state !== 'settled' || !pan.zeroKnown || pan.doubted || !isPutOnSince(scene, scale, pan)) continue;
    if (!isVesselOfBatch(scene, scale, pan)) return judged(scene, draw, scale, pan);
  }
  return null;
}

function isVesselOfBatch({ batch, ...scene }: Scene, scale: string, { load }: Pan): boolean {
  const step = scaleOf({ batch, ...scene }, scale);
  return Object.values(batch.vessels).some((vessel) => isExpected(load, sameAsBefore(vessel.load, step)));
}

function judged(scene: Scene, draw: PlannedDraw, scale: string, { load, dwelt }: Pan): JarNow {
  const { jars, draws } = scene.batch;
  const before = jars[draw.id];
  if (stepNow(scene)?.jar?.when === 'before' || !before) {
    return { scale, load, left: null, came: null, allowed: null, isRight: true, dwelt };
  }
  const { net, peak } = draws[draw.id] ?? { net: null, peak: null };
  const came = net ?? ZERO;
  const left = minus(before.load, load);
  // What was too much may have gone back into the jar or not: both are right.
  const most = peak !== null && peak > came ? peak : came;
  const readings = [netUncertainty(scaleOf(scene, scale)), netUncertainty(scaleOf(scene, before.scale))];
  const allowed = mass(Math.ceil(Math.hypot(...readings, draw.uncertainty)));
  return { scale, load, left, came, allowed, isRight: left >= came - allowed && left <= most + allowed, dwelt };
}
