/**
 * What the chart's guards and the screen see when they look at the bench: pure questions over batch state and pans.
 * Whether a weight is good is decided in `accept/`; here it is only asked about the present draw.
 */
import { judge, type Verdict } from '../accept/band.ts';
import {
  canBeTheSame,
  type Expected,
  isExpected,
  netOf,
  roughly,
  sameAsBefore,
  stockJar,
  usedCup,
  usualTare,
} from '../accept/standing.ts';
import type { BatchState, DrawState, VesselState } from '../facts/batchState.ts';
import { broughtInWith, isArrival } from '../facts/broughtIn.ts';
import { nextTask, type Wanted, wanted } from '../facts/wanted.ts';
import { greater, type Mass, minus, plus, size, ZERO } from '../mass/mass.ts';
import type { PlannedDraw, PlannedScale, PlannedStep } from '../plan/model.ts';
import { isUntrusted, type Pan, type Pans, UNKNOWN_PAN } from './pans.ts';
import type { StepSeen } from './stepPans.ts';

/** The part of the chart's context that these questions need. */
export interface Scene {
  readonly batch: BatchState;
  readonly pans: Pans;
  /** Loads of the pans when the present draw came up (or when they next came to rest), to see what comes on since. */
  readonly loadsAtStart: Readonly<Record<string, Mass>>;
  readonly stepSeen: StepSeen;
}

/** The step to do now; undefined when it is a draw's turn or all is done. */
export function stepNow({ batch }: Scene): PlannedStep | undefined {
  const task = nextTask(batch);
  return task?.kind === 'step' ? task : undefined;
}

/** The step to do now where that weighs a vessel as it has come from another bench. */
export function arrivalNow(scene: Scene): PlannedStep | undefined {
  const step = stepNow(scene);
  return step && isArrival(step) ? step : undefined;
}

/** Bursts begun of the present step. */
export function burstOf(scene: Scene): number {
  const step = stepNow(scene);
  return step ? (scene.batch.steps[step.id]?.bursts ?? 0) : 0;
}

/** The draw to do now; undefined when it is a step's turn or all is done. */
export function drawNow({ batch }: Scene): PlannedDraw | undefined {
  const task = nextTask(batch);
  return task?.kind === 'draw' ? task : undefined;
}

/** How far the present draw has come. */
export function drawStateNow(scene: Scene): DrawState | undefined {
  const draw = drawNow(scene);
  return draw ? scene.batch.draws[draw.id] : undefined;
}

export function scaleOf({ batch }: Scene, id: string): PlannedScale {
  const scale = batch.plan.scales[id];
  if (!scale) throw new Error(`the plan has no scale ${id}`);
  return scale;
}

export function panOf({ pans }: Scene, id: string): Pan {
  return pans[id] ?? UNKNOWN_PAN;
}

/** The pan of the present draw. */
export function panNow(scene: Scene): Pan {
  const draw = drawNow(scene);
  return draw ? panOf(scene, draw.scale) : UNKNOWN_PAN;
}

/** Whether the present draw's scale can't be relied on. */
export function isBlind(scene: Scene): boolean {
  return isUntrusted(panNow(scene));
}

/** What the pan should show when the draw's vessel is put on for the first time. */
export function expectedLoad(scene: Scene, draw: PlannedDraw): Expected {
  const scale = scaleOf(scene, draw.scale);
  const known = scene.batch.vessels[draw.on];
  const tare = scene.batch.plan.vessels[draw.on]?.tare ?? ZERO;
  if (known) {
    const { load, within } = knownLoad(draw, known, tare, scale);
    return { load, within: plus(within, known.doubt ?? ZERO) };
  }
  return draw.way === 'subtract' ? stockJar(tare, draw.lotOnHand, scale) : usualTare(tare, scale);
}

function knownLoad({ way }: PlannedDraw, { load, certain }: VesselState, tare: Mass, scale: PlannedScale): Expected {
  if (way === 'cup') return usedCup(load, tare, scale);
  return certain ? sameAsBefore(load, scale) : roughly(load, minus(load, tare), scale);
}

/** The base of the present draw: its vessel's weight when it began; null before it was placed. */
export function baseNow(scene: Scene): Mass | null {
  const draw = drawNow(scene);
  return draw ? (scene.batch.draws[draw.id]?.base ?? null) : null;
}

/**
 * What stands on the present draw's pan.
 * - `right`: the vessel that the draw needs; `wrong`: something else, at rest; `nothing`: the empty pan;
 * - `unsure`: at rest, but the empty pan's zero is not proved; `moving`: not at rest.
 */
export function standing(scene: Scene): 'right' | 'wrong' | 'nothing' | 'unsure' | 'moving' {
  const draw = drawNow(scene);
  const pan = panNow(scene);
  if (!draw || (pan.state !== 'settled' && pan.state !== 'empty')) return 'moving';
  if (pan.state === 'empty') return 'nothing';
  const base = baseNow(scene);
  const scale = scaleOf(scene, draw.scale);
  if (pan.toEmpty && !scene.batch.vessels[draw.on]) return pan.zeroKnown ? 'wrong' : 'unsure';
  if (!pan.zeroKnown) {
    // A load that is just the known one proves the zero by itself: a scale zeroed under it would show far less.
    const proof = base === null ? expectedLoad(scene, draw) : sameAsBefore(base, scale);
    return isExpected(pan.load, proof) ? 'right' : 'unsure';
  }
  const fits =
    base === null
      ? isExpected(pan.load, expectedLoad(scene, draw))
      : canBeTheSame(netOf(draw.way, base, pan.load), mostSeen(scene, draw), scale) ||
        isWiped(scene, draw, base) ||
        isReweighed(scene, draw, base);
  return fits ? 'right' : 'wrong';
}

/** The cup came back with less in it than the draw began with. */
function isWiped(scene: Scene, draw: PlannedDraw, base: Mass): boolean {
  const scale = scaleOf(scene, draw.scale);
  const tare = scene.batch.plan.vessels[draw.on]?.tare ?? ZERO;
  const { load } = panNow(scene);
  return draw.way === 'cup' && load < base - scale.d && isExpected(load, usedCup(base, tare, scale));
}

/**
 * The zero moved while the vessel stood there, so it weighs a little otherwise now; nothing had gone in or out for this
 * draw when it was lifted.
 */
function isReweighed(scene: Scene, draw: PlannedDraw, base: Mass): boolean {
  const scale = scaleOf(scene, draw.scale);
  const { load, before } = panNow(scene);
  const doubt = scene.batch.vessels[draw.on]?.doubt ?? ZERO;
  const isUntouched = before !== null && size(minus(before, base)) <= 2 * scale.d;
  return doubt > 0 && isUntouched && size(minus(load, base)) <= plus(sameAsBefore(base, scale).within, doubt);
}

/**
 * Whether the draw begins again from what its vessel weighs now: the cup was wiped or emptied after it was placed, or the
 * vessel's weight was in doubt.
 */
export function beginsAnew(scene: Scene): boolean {
  const draw = drawNow(scene);
  const base = baseNow(scene);
  if (draw === undefined || base === null || standing(scene) !== 'right') return false;
  return isWiped(scene, draw, base) || isReweighed(scene, draw, base);
}

/**
 * Whether something went in or out before the vessel's weight had stood long enough to begin with: the right vessel was
 * at rest there, and now it weighs otherwise by more than a scale's slow answer makes.
 */
export function beganEarly(scene: Scene): boolean {
  const draw = drawNow(scene);
  const { first, load, state, toEmpty } = panNow(scene);
  if (!draw || first === null || state !== 'settled' || toEmpty || baseNow(scene) !== null) return false;
  const scale = scaleOf(scene, draw.scale);
  if (isExpected(load, sameAsBefore(first, scale)) || !isExpected(first, expectedLoad(scene, draw))) return false;
  return canBeTheSame(netOf(draw.way, first, load), mostSeen(scene, draw), scale);
}

/** Another vessel of the plan that is on the present draw's pan, told by its weight; undefined when none fits. */
export function recognised(scene: Scene): string | undefined {
  const draw = drawNow(scene);
  const pan = panNow(scene);
  if (!draw || pan.state !== 'settled' || !pan.zeroKnown) return undefined;
  const scale = scaleOf(scene, draw.scale);
  return Object.values(scene.batch.plan.vessels).find(({ id, tare }) => {
    if (id === draw.on) return false;
    const known = scene.batch.vessels[id];
    return isExpected(pan.load, known ? sameAsBefore(known.load, scale) : usualTare(tare, scale));
  })?.id;
}

/** The most that a draw may weigh, or has been seen to weigh. */
function mostSeen(scene: Scene, draw: PlannedDraw): Mass {
  return greater(wanted(scene.batch, draw).high, scene.batch.draws[draw.id]?.peak ?? ZERO);
}

/** Whether this can be what is in (or missing from) the present draw's vessel, not yet accepted; else it is not there. */
export function isContent(scene: Scene, net: Mass): boolean {
  const draw = drawNow(scene);
  if (!draw || drawStateNow(scene)?.status !== 'open') return false;
  return canBeTheSame(net, mostSeen(scene, draw), scaleOf(scene, draw.scale));
}

/** The settled net weight of the present draw; null while moving, lifted off, not begun, or while the zero is in doubt. */
export function netNow(scene: Scene): Mass | null {
  const draw = drawNow(scene);
  const base = baseNow(scene);
  const pan = panNow(scene);
  if (!draw || base === null || pan.state !== 'settled' || !pan.zeroKnown) return null;
  return isBelowJar(scene, draw, base) ? null : netOf(draw.way, base, pan.load);
}

/** A stock jar can't weigh less than it does empty: another unit, perhaps, but no amount that was taken out. */
function isBelowJar(scene: Scene, draw: PlannedDraw, base: Mass): boolean {
  const tare = scene.batch.plan.vessels[draw.on]?.tare ?? ZERO;
  const { load, within } = usualTare(tare, scaleOf(scene, draw.scale));
  const least = minus(load, within);
  return draw.way === 'subtract' && base >= least && panNow(scene).load < least;
}

export function wantedNow(scene: Scene): Wanted | null {
  const draw = drawNow(scene);
  return draw ? wanted(scene.batch, draw) : null;
}

/** How the settled net weight of the present draw stands to its band; null while there is none. */
export function verdictNow(scene: Scene): Verdict | null {
  const net = netNow(scene);
  const band = wantedNow(scene);
  return net === null || band === null ? null : judge(net, band);
}

/** What stayed in the cup after tipping; null while the cup is away, moving, or still as full as before. */
export function residueNow(scene: Scene): Mass | null {
  const draw = drawNow(scene);
  const state = draw && scene.batch.draws[draw.id];
  const pan = panNow(scene);
  if (!draw || state?.status !== 'weighed' || state.base === null || state.net === null) return null;
  if (pan.state !== 'settled' || !pan.zeroKnown) return null;
  const scale = scaleOf(scene, draw.scale);
  const residue = minus(pan.load, state.base);
  if (residue > state.net / 2) return null; // not tipped yet
  if (residue >= 0) return residue;
  const isSame = residue >= -sameAsBefore(ZERO, scale).within || isWiped(scene, draw, state.base);
  return isSame ? ZERO : null; // else another cup
}

/** Whether what reached the bowl is still within the band once the residue is taken off, or its other parts make up for it. */
export function isTippedWell(scene: Scene): boolean {
  const draw = drawNow(scene);
  const net = draw && scene.batch.draws[draw.id]?.net;
  const residue = residueNow(scene);
  if (!draw || net == null || residue === null) return false;
  const isMoreToCome = draw.part !== null && draw.part.index < draw.part.of;
  return isMoreToCome || judge(minus(net, residue), wanted(scene.batch, draw)) !== 'under';
}

/**
 * What came onto another pan than the present draw's, since the draw came up: the vessel that is waited for, or the
 * amount that should go in here. null when there is nothing of the kind.
 */
export function elsewhere(scene: Scene): { readonly scale: string; readonly load: Mass } | null {
  const draw = drawNow(scene);
  if (!draw) return null;
  const here = standing(scene);
  for (const [id, pan] of Object.entries(scene.pans)) {
    const before = scene.loadsAtStart[id];
    if (id === draw.scale || pan.state !== 'settled' || before === undefined) continue;
    const gained = minus(pan.load, before);
    const { d } = scaleOf(scene, id);
    if (here !== 'right' && isVessel(scene, draw, gained, d)) return { scale: id, load: gained };
    if (here === 'right' && isPouredThere(scene, draw, gained, d)) return { scale: id, load: gained };
  }
  return null;
}

function isVessel(scene: Scene, draw: PlannedDraw, gained: Mass, d: Mass): boolean {
  const { load, within } = expectedLoad(scene, draw);
  return size(minus(gained, load)) <= within + 5 * d;
}

/** Nothing has come in here, and about what is wanted has come in there. What is spooned out of a jar goes elsewhere. */
function isPouredThere(scene: Scene, draw: PlannedDraw, gained: Mass, d: Mass): boolean {
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (draw.way === 'subtract' || net === null || band === null) return false;
  return size(net) <= 2 * scaleOf(scene, draw.scale).d && gained > 10 * d && gained <= 2 * band.high;
}

/**
 * Draws that would have to be done again if the vessel of the present draw, or the one that has just come over, were given up;
 * of what another bench has weighed all that came with it.
 */
export function lostWithVessel(scene: Scene): readonly string[] {
  const vessel = drawNow(scene)?.vessel ?? arrivalNow(scene)?.vessel ?? '';
  return broughtInWith(scene.batch, scene.batch.vessels[vessel]?.holds ?? []);
}

/** The largest settled net weight of a draw so far, for what was taken back out. */
export function takenBack(scene: Scene, net: Mass): Mass {
  const draw = drawNow(scene);
  const peak = draw ? (scene.batch.draws[draw.id]?.peak ?? net) : net;
  // A last digit that trembled took nothing out.
  const noise = draw ? scaleOf(scene, draw.scale).d : ZERO;
  return peak > net + noise ? minus(peak, net) : ZERO;
}
