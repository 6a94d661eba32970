/**
 * What the pans say of work between draws, so that it needs no key: its vessel lifted off starts the clock; its
 * vessel, or the next draw's, put on says that it is done; an emptied vessel put back tells what stuck to it.
 */
import { isExpected, roughly, sameAsBefore, usualTare } from '../accept/standing.ts';
import { netUncertainty } from '../accept/uncertainty.ts';
import { contentOf } from '../facts/combine.ts';
import type { StepHow, WeighedBack } from '../facts/fact.ts';
import { firstHere } from '../facts/handOver.ts';
import { greater, type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import { ownScales, type PlannedDraw, type PlannedStep } from '../plan/model.ts';
import { expectedLoad, type Scene, scaleOf, stepNow } from './look.ts';
import { loadsOf, type Pan, type Pans } from './pans.ts';

/** What stood where when a step came up, and which pans were seen free since: only what was put on since is an answer. */
export interface StepSeen {
  readonly step: string | null;
  readonly cleared: readonly string[];
  /** Loads of the pans at that moment. */
  readonly loads: Readonly<Record<string, Mass>>;
  /** Something was lifted off one since. */
  readonly lifted: boolean;
}

export const NO_STEP_SEEN: StepSeen = { step: null, cleared: [], loads: {}, lifted: false };

/** How the pans stand when a step comes up; what was seen of the same step before (its last burst) stays. */
export function stepSeenFrom(scene: Scene): StepSeen {
  const step = stepNow(scene)?.id ?? null;
  if (step !== null && step === scene.stepSeen.step) return scene.stepSeen;
  const isFree = (pan: Pan | undefined) => pan === undefined || pan.state === 'empty';
  const cleared = Object.keys(ownScales(scene.batch.plan)).filter((id) => isFree(scene.pans[id]));
  return { step, cleared, loads: loadsOf(scene.pans), lifted: false };
}

/** A pan was seen empty. @param stood something had rested on it before */
export function noteCleared(seen: StepSeen, scale: string, stood: boolean): StepSeen {
  const cleared = seen.cleared.includes(scale) ? seen.cleared : [...seen.cleared, scale];
  return { ...seen, cleared, lifted: seen.lifted || stood };
}

/** Forgets a tap that was answered, or came when none was asked for. */
export function withoutTaps(pans: Pans): Pans {
  return Object.fromEntries(
    Object.entries(pans).map(([id, pan]) => [id, pan.tapped ? { ...pan, tapped: false } : pan]),
  );
}

/** Steps that empty or wipe a vessel out into another, which is weighed back after. */
export function movesContent(step: PlannedStep): step is PlannedStep & { vessel: string; into: string } {
  return (step.step === 'combine' || step.step === 'rinse') && step.vessel !== null && step.into !== null;
}

export function movesContentNow(scene: Scene): boolean {
  const step = stepNow(scene);
  return step !== undefined && movesContent(step);
}

/** The vessel in which the present step is done: its own, else its phase's. */
export function stepVessel(scene: Scene): string | undefined {
  const step = stepNow(scene);
  if (!step) return undefined;
  return step.vessel ?? scene.batch.plan.phases.find(({ id }) => id === step.phase)?.vessel;
}

/** The draw that comes right after the present step; undefined when another step does, or nothing. */
export function drawAfterStep(scene: Scene): PlannedDraw | undefined {
  const step = stepNow(scene);
  const next = firstHere(scene.batch, step);
  return next?.kind === 'draw' ? next : undefined;
}

/** The pan with the widest range: a tap on it, while it is empty, is an answer. A fine scale feels every draught. */
export function tapScale({ batch }: Scene): string | undefined {
  const scales = Object.values(ownScales(batch.plan)).filter(({ keyed }) => !keyed);
  return scales.sort((a, b) => b.capacity - a.capacity)[0]?.id;
}

/** Whether that pan was just touched and left empty. */
export function isTapped(scene: Scene): boolean {
  const scale = tapScale(scene);
  return scale !== undefined && scene.pans[scale]?.tapped === true;
}

/** Whether the present step's vessel is seen to stand on no pan: it is in the maker's hands. */
export function isInHand(scene: Scene): boolean {
  const vessel = stepVessel(scene);
  const pans = Object.entries(scene.pans);
  if (vessel === undefined || pans.length === 0) return false;
  const isSeen = ({ state }: Pan) => state === 'empty' || state === 'settled' || state === 'silent';
  return pans.every(([scale, pan]) => isSeen(pan) && !(pan.state === 'settled' && couldBe(scene, vessel, scale, pan)));
}

/** Whether what stands on a pan weighs about what the vessel should: emptied, filled, or on the way. */
function couldBe(scene: Scene, vessel: string, scale: string, { load }: Pan): boolean {
  const known = scene.batch.vessels[vessel];
  const tare = scene.batch.plan.vessels[vessel]?.tare ?? ZERO;
  const step = scaleOf(scene, scale);
  if (!known) return isExpected(load, usualTare(tare, step));
  return isExpected(load, roughly(known.load, known.load, step));
}

/** What was put on a pan since the step came up and says that it is done. */
export type Back = { readonly scale: string; readonly load: Mass } & (
  | { readonly what: 'emptied'; readonly vessel: string; readonly residue: Mass }
  | { readonly what: 'vessel' | 'next' }
);

/** What stands on a pan, at rest, and says that the present step is done; null when nothing does. */
export function backNow(scene: Scene): Back | null {
  const step = stepNow(scene);
  if (!step) return null;
  for (const [scale, pan] of Object.entries(scene.pans)) {
    if (pan.state !== 'settled' || !pan.zeroKnown || pan.doubted || !isPutOnSince(scene, scale, pan)) continue;
    const back = backOn(scene, step, scale, pan);
    if (back) return back;
  }
  return null;
}

/** The pan was seen empty since the step came up, or something else stands there than then (a brisk hand swaps them). */
export function isPutOnSince(scene: Scene, scale: string, { load }: Pan): boolean {
  const { cleared, loads } = scene.stepSeen;
  const before = loads[scale];
  return (
    cleared.includes(scale) || (before !== undefined && !isExpected(load, sameAsBefore(before, scaleOf(scene, scale))))
  );
}

function backOn(scene: Scene, step: PlannedStep, scale: string, pan: Pan): Back | null {
  const { load } = pan;
  if (movesContent(step)) {
    const residue = residueOf(scene, step.vessel, scale, load);
    return residue === null ? null : { what: 'emptied', vessel: step.vessel, scale, load, residue };
  }
  const next = drawAfterStep(scene);
  if (next?.scale === scale && isExpected(load, expectedLoad(scene, next))) return { what: 'next', scale, load };
  const vessel = stepVessel(scene);
  const known = vessel === undefined ? undefined : scene.batch.vessels[vessel];
  if (vessel === undefined || !known) return null;
  const isIt = isExpected(load, roughly(known.load, contentOf(scene.batch, vessel), scaleOf(scene, scale)));
  return isIt ? { what: 'vessel', scale, load } : null;
}

/** What stuck to an emptied vessel; null when it is not it, or still more than half full. */
function residueOf(scene: Scene, vessel: string, scale: string, load: Mass): Mass | null {
  const { batch } = scene;
  const step = scaleOf(scene, scale);
  const empty = emptyLoad(scene, vessel, scale);
  const stuck = minus(load, empty.load);
  const content = contentOf(batch, vessel);
  const before = content > 0 ? mass(Math.round(content / 2)) : (batch.clinging[vessel]?.residue ?? ZERO);
  const slack = greater(empty.within, sameAsBefore(empty.load, step).within);
  return stuck >= -slack && stuck <= before + slack ? greater(ZERO, stuck) : null;
}

function emptyLoad(scene: Scene, vessel: string, scale: string): { readonly load: Mass; readonly within: Mass } {
  const empty = scene.batch.vessels[vessel]?.empty ?? null;
  if (empty !== null) return { load: empty, within: ZERO };
  return usualTare(scene.batch.plan.vessels[vessel]?.tare ?? ZERO, scaleOf(scene, scale));
}

/** Whether that has stood for the dwell time. */
export function isBackDwelt(scene: Scene): boolean {
  const back = backNow(scene);
  return back !== null && scene.pans[back.scale]?.dwelt === true;
}

/** An emptied vessel's weighing back, for the fact; undefined when the step has none. */
export function weighedBackNow(scene: Scene): WeighedBack | undefined {
  const back = backNow(scene);
  if (back?.what !== 'emptied') return undefined;
  const { vessel, scale, load, residue } = back;
  const { within } = emptyLoad(scene, vessel, scale);
  const uncertainty = mass(Math.ceil(Math.hypot(netUncertainty(scaleOf(scene, scale)), within)));
  return { vessel, scale, load, residue, uncertainty };
}

/** How the present step was told to begin without a key: its vessel has just been lifted, or was in hand all along. */
export function begunBy(scene: Scene): StepHow {
  return scene.stepSeen.lifted ? 'lifted' : 'at-hand';
}
