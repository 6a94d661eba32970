/**
 * Which scale, which way, what on the pan. What must never be over is weighed in a cup first; everything else goes
 * straight into its vessel on the sturdiest scale that is good enough; a stock jar is the last resort, unless the
 * formula prescribes it.
 */

import type { FormulaDraw, Way } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { Scale, Vessel, Workshop } from '../workshop/model.ts';
import { type Fit, fitOn, isFit, leastWeight, noRoom, type Obstacle, type OnPan, type Wanted } from './feasible.ts';
import { leastOn, percentOf } from './inWords.ts';
import type { Piece } from './lots.ts';
import { margins, relativeTolerance } from './plannedBand.ts';

/** A draw and all that decides how it can be weighed. */
export interface ToPlace {
  readonly draw: FormulaDraw;
  readonly target: Mass;
  readonly pieces: readonly Piece[];
  /** See `Wanted`. */
  readonly weighedBefore?: number;
  readonly density: number | undefined;
  /** Where the ingredient ends up, and the most that lies in it before. */
  readonly vessel: Vessel;
  readonly inVessel: Mass;
  readonly cups: readonly Vessel[];
  readonly workshop: Workshop;
}

export interface Choice {
  readonly way: Way;
  readonly scale: Scale;
  /** What stands on the pan, for each piece. */
  readonly on: readonly Vessel[];
  readonly fit: Fit;
  /** One line. */
  readonly why: string;
}

export type Chosen =
  | { readonly ok: true; readonly choice: Choice }
  | { readonly ok: false; readonly obstacles: readonly Obstacle[] };

interface Candidate {
  readonly way: Way;
  readonly scale: Scale;
  readonly on: readonly Vessel[];
  readonly found: Fit | Obstacle;
}

/** Vessels that can serve as a cup: they have a volume, hold no lot, and no phase's work is in them. */
export function cupsOf(workshop: Workshop, atWork: ReadonlySet<string>): Vessel[] {
  const jars = new Set([...workshop.ingredients.values()].flatMap(({ lots }) => lots.map(({ jar }) => jar)));
  return [...workshop.vessels.values()]
    .filter(({ id, usableMl }) => usableMl !== undefined && !atWork.has(id) && !jars.has(id))
    .sort((a, b) => (a.usableMl ?? 0) - (b.usableMl ?? 0));
}

/** The ways to try: the prescribed one, or all, the simplest first. */
export function waysFor({ way }: FormulaDraw): readonly Way[] {
  return way === undefined ? ['add', 'cup', 'subtract'] : [way];
}

/** The scales to try for a way: the sturdiest first under a bowl, the finest first under a cup or jar. */
export function scalesFor(way: Way, { scale }: FormulaDraw, workshop: Workshop): readonly Scale[] {
  const all = [...workshop.scales.values()].filter(({ id }) => scale === undefined || id === scale);
  const finest = (a: Scale, b: Scale) => a.d - b.d || a.capacity - b.capacity;
  return all.sort(way === 'add' ? (a, b) => finest(b, a) : finest);
}

function wantedOf({ target, draw, pieces, weighedBefore = 0, density }: ToPlace): Wanted {
  return { target, tolerance: draw.tolerance, pieces: pieces.map(({ amount }) => amount), weighedBefore, density };
}

function addCandidate(to: ToPlace, scale: Scale): Candidate {
  const { vessel, inVessel, pieces } = to;
  let before = mass(vessel.tare + inVessel);
  const pans = pieces.map(({ amount }): OnPan => {
    const pan = { vessel, load: before, grows: true };
    before = mass(before + amount);
    return pan;
  });
  return { way: 'add', scale, on: pieces.map(() => vessel), found: fitOn(wantedOf(to), scale, pans) };
}

/** Of two obstacles the one that helps to be told: what limits more, of the load and the room. */
function tighter(fit: Fit | Obstacle, room: Obstacle | undefined): Fit | Obstacle {
  if (room?.kind !== 'room' || isFit(fit)) return room ?? fit;
  if (fit.kind !== 'load') return fit;
  return fit.fits / fit.needs < room.fits / room.needs ? fit : room;
}

/** Of the obstacles with two cups the one to be told: where less is lacking. */
function nearer(a: Obstacle, b: Obstacle): Obstacle {
  const lack = (of: Obstacle) => (of.kind === 'load' || of.kind === 'room' ? of.fits / of.needs : 0);
  return b.kind === 'weak' || lack(b) >= lack(a) ? b : a;
}

function cupCandidate(to: ToPlace, scale: Scale): Candidate {
  const cups =
    to.draw.cup === undefined ? to.cups : [...to.workshop.vessels.values()].filter(({ id }) => id === to.draw.cup);
  const { over } = margins(to.target, to.draw.tolerance);
  let found: Obstacle = { kind: 'none', why: 'the workshop has no vessel to use as a cup' };
  for (const cup of cups) {
    const pan = { vessel: cup, load: cup.tare, grows: true };
    const fit = fitOn(
      wantedOf(to),
      scale,
      to.pieces.map(() => pan),
    );
    const room = to.pieces.map(({ amount }) => noRoom(cup, 0, mass(amount + over), to.density)).find(Boolean);
    const here = tighter(fit, room);
    if (isFit(here)) return { way: 'cup', scale, on: to.pieces.map(() => cup), found: here };
    found = nearer(found, here);
    // Another cup helps where this one is too small or too heavy; no cup makes the scale finer.
    if (here.kind === 'weak') break;
  }
  return { way: 'cup', scale, on: [], found };
}

function subtractCandidate(to: ToPlace, scale: Scale): Candidate {
  const jars = to.pieces.map(({ lot }) => (lot.jar === undefined ? undefined : to.workshop.vessels.get(lot.jar)));
  const known = jars.filter((jar) => jar !== undefined);
  if (known.length < jars.length) {
    const bare = to.pieces.find((_, index) => jars[index] === undefined);
    const found: Obstacle = { kind: 'none', why: `lot ${bare?.lot.id ?? ''} has no jar to take it out of` };
    return { way: 'subtract', scale, on: [], found };
  }
  const pans = known.map((jar, index): OnPan => {
    return { vessel: jar, load: mass(jar.tare + (to.pieces[index]?.onHand ?? 0)), grows: false };
  });
  return { way: 'subtract', scale, on: known, found: fitOn(wantedOf(to), scale, pans) };
}

const CANDIDATE: Readonly<Record<Way, (to: ToPlace, scale: Scale) => Candidate>> = {
  add: addCandidate,
  cup: cupCandidate,
  subtract: subtractCandidate,
};

/** A way that needs no guard band goes before one that does; but what must never be over keeps to its cup. */
function firstThatFits(candidates: readonly Candidate[], cupFirst: boolean): { at: Candidate; fit: Fit } | undefined {
  const fits = candidates.flatMap((at) => (isFit(at.found) ? [{ at, fit: at.found }] : []));
  const cups = cupFirst ? fits.filter(({ at }) => at.way === 'cup') : [];
  const among = cups.length > 0 ? cups : fits;
  return among.find(({ fit }) => fit.judged.guard === 0) ?? among[0];
}

function reason(to: ToPlace, at: Candidate, candidates: readonly Candidate[]): string {
  const relative = relativeTolerance(to.target, to.draw.tolerance);
  const good = `${at.scale.id} is good from ${leastOn(at.scale, leastWeight(at.scale, relative, to.pieces.length))} at ${percentOf(relative)}`;
  if (to.draw.way !== undefined) return `the formula asks for ${to.draw.way}; ${good}`;
  if (at.way === 'cup' && to.draw.over === 'never') return `never over, so checked in the cup; ${good}`;
  const refused = candidates.find((other) => other !== at && !isFit(other.found));
  if (at.way !== 'add' && refused && !isFit(refused.found)) return refused.found.why;
  if (at.way === 'add' && to.draw.over === 'never') return `never over, but no cup will do; ${good}`;
  return good;
}

/** Chooses scale, way and vessel for a draw; or says every obstacle that was met. */
export function chooseWay(to: ToPlace): Chosen {
  const candidates = waysFor(to.draw).flatMap((way) =>
    scalesFor(way, to.draw, to.workshop).map((scale) => CANDIDATE[way](to, scale)),
  );
  const chosen = firstThatFits(candidates, to.draw.over === 'never');
  if (!chosen) {
    return { ok: false, obstacles: candidates.flatMap(({ found }) => (isFit(found) ? [] : [found])) };
  }
  const { way, scale, on } = chosen.at;
  return { ok: true, choice: { way, scale, on, fit: chosen.fit, why: reason(to, chosen.at, candidates) } };
}
