/** The sum check of a vessel, as the pans show it now. */
import { isExpected, roughly, sameAsBefore } from '../accept/standing.ts';
import { judgeSum, type SumJudgement, type SumPart, sumAllowance } from '../accept/sumCheck.ts';
import { netUncertainty } from '../accept/uncertainty.ts';
import { drawOf } from '../facts/apply.ts';
import { contentOf } from '../facts/combine.ts';
import { type Mass, ZERO } from '../mass/mass.ts';
import { type Scene, scaleOf, stepNow } from './look.ts';
import type { Pan } from './pans.ts';
import { stepVessel } from './stepPans.ts';

export interface SumNow extends SumJudgement {
  readonly vessel: string;
  readonly scale: string;
  readonly found: Mass;
  readonly expected: Mass;
  readonly allowed: Mass;
  readonly dwelt: boolean;
}

/** Whether the present step is a sum check whose vessel's weight is known at all. */
export function isSumStep(scene: Scene): boolean {
  return stepNow(scene)?.step === 'sum';
}

/** The vessel that is to be checked, at rest on a pan; null while it is not. */
export function sumNow(scene: Scene): SumNow | null {
  const vessel = stepVessel(scene);
  const known = vessel === undefined ? undefined : scene.batch.vessels[vessel];
  if (!isSumStep(scene) || vessel === undefined || !known) return null;
  const inIt = partsOf(scene, (id) => id === vessel);
  const elsewhere = partsOf(scene, (id) => id !== vessel);
  for (const [scale, pan] of Object.entries(scene.pans)) {
    if (pan.state !== 'settled' || !pan.zeroKnown || pan.doubted || !couldBe(scene, vessel, scale, pan)) continue;
    const expected = known.load;
    const allowed = allowedOn(scene, vessel, scale);
    const judged = judgeSum({ expected, found: pan.load, allowed, inIt, elsewhere });
    return { vessel, scale, found: pan.load, expected, allowed, dwelt: pan.dwelt, ...judged };
  }
  return null;
}

/** It weighs more than half of what is in it, and less than twice, and is no other vessel. */
function couldBe(scene: Scene, vessel: string, scale: string, { load }: Pan): boolean {
  const { batch } = scene;
  const known = batch.vessels[vessel];
  if (!known) return false;
  const content = contentOf(batch, vessel);
  if (load < known.load - content / 2 || load > known.load + content) return false;
  const step = scaleOf(scene, scale);
  if (isExpected(load, roughly(known.load, content, step))) return true;
  return !Object.entries(batch.vessels).some(
    ([id, other]) => id !== vessel && isExpected(load, sameAsBefore(other.load, step)),
  );
}

function allowedOn(scene: Scene, vessel: string, scale: string): Mass {
  const { batch } = scene;
  const step = scaleOf(scene, scale);
  const known = batch.vessels[vessel];
  const offPan = (known?.holds ?? []).flatMap((id) => {
    const draw = drawOf(batch, id);
    return draw && draw.way !== 'add' ? [draw.uncertainty] : [];
  });
  const moved = known?.certain === false ? contentOf(batch, vessel) : ZERO;
  const other = known?.doubt === undefined ? [] : [known.doubt];
  return sumAllowance(netUncertainty(step), [...offPan, ...other], moved, sameAsBefore(ZERO, step).within);
}

function partsOf(scene: Scene, isIn: (vessel: string) => boolean): readonly SumPart[] {
  const { batch } = scene;
  const ids = Object.entries(batch.vessels).flatMap(([vessel, { holds }]) => (isIn(vessel) ? holds : []));
  return ids.flatMap((id) => {
    const draw = drawOf(batch, id);
    const amount = batch.draws[id]?.bowl;
    return draw && amount != null ? [{ draw: id, amount, uncertainty: draw.uncertainty }] : [];
  });
}
