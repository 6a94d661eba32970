/**
 * Which scale, which way, what on the pan: the best of all candidates by `preference.ts`; or every obstacle that was met.
 */
import type { Vessel, Workshop } from '../workshop/model.ts';
import type { Candidate, ToPlace } from './candidate.ts';
import { candidatesFor } from './candidates.ts';
import { isOfSize, leastWeight, type Obstacle } from './feasible.ts';
import { leastOn, percentOf } from './inWords.ts';
import { relativeTolerance } from './plannedBand.ts';
import { preferred, works } from './preference.ts';

/** The candidate that is taken. */
export interface Choice extends Omit<Candidate, 'obstacles'> {
  /** One line. */
  readonly why: string;
}

export type Chosen = { readonly candidates: readonly Candidate[] } & (
  | { readonly ok: true; readonly choice: Choice; readonly at: Candidate }
  | { readonly ok: false; readonly obstacles: readonly Obstacle[] }
);

/** Vessels that can serve as a cup, the smallest first: they have a volume, hold no lot, and no phase's work is in them. */
export function cupsOf(workshop: Workshop, atWork: ReadonlySet<string>): Vessel[] {
  const jars = new Set([...workshop.ingredients.values()].flatMap(({ lots }) => lots.map(({ jar }) => jar)));
  return [...workshop.vessels.values()]
    .filter(({ id, usableMl }) => usableMl !== undefined && !atWork.has(id) && !jars.has(id))
    .sort((a, b) => (a.usableMl ?? 0) - (b.usableMl ?? 0));
}

function reason(to: ToPlace, at: Candidate, candidates: readonly Candidate[]): string {
  const { draw, target, pieces } = to;
  const relative = relativeTolerance(target, draw.tolerance);
  const least = leastWeight(at.scale, relative, at.pieces.length);
  const good = `${at.scale.id} is good from ${leastOn(at.scale, least)} at ${percentOf(relative)}`;
  const parts = at.pieces.length > pieces.length ? `in ${at.pieces.length} parts, as one vessel is too small; ` : '';
  return parts + because(to, at, candidates, good);
}

function because({ draw }: ToPlace, at: Candidate, candidates: readonly Candidate[], good: string): string {
  if (draw.way !== undefined) return `the formula asks for ${draw.way}; ${good}`;
  if (at.way === 'cup' && draw.over === 'never') return `never over, so checked in the cup; ${good}`;
  const [refused] = candidates.flatMap((other) => (works(other) ? [] : other.obstacles.slice(0, 1)));
  if (at.way !== 'add' && refused) return refused.why;
  if (at.way === 'add' && draw.over === 'never') return `never over, but no cup will do; ${good}`;
  return good;
}

/** One obstacle for each way on each scale: of several cups the one where less is lacking. */
function telling(candidates: readonly Candidate[]): Obstacle[] {
  const told = new Map<string, Obstacle>();
  for (const { way, scale, obstacles } of candidates) {
    const [obstacle] = obstacles;
    if (!obstacle) continue;
    const key = `${way} ${scale.id}`;
    const before = told.get(key);
    told.set(key, before ? nearer(before, obstacle) : obstacle);
  }
  return [...told.values()];
}

function nearer(a: Obstacle, b: Obstacle): Obstacle {
  const lack = (of: Obstacle) => (isOfSize(of) ? of.fits / of.needs : of.kind === 'weak' ? 2 : 0);
  return lack(b) > lack(a) ? b : a;
}

/** Chooses scale, way and vessel for a draw; or says every obstacle that was met. */
export function chooseWay(to: ToPlace): Chosen {
  const candidates = candidatesFor(to);
  const at = preferred(to, candidates);
  if (!at) return { ok: false, candidates, obstacles: telling(candidates) };
  const { way, scale, pieces, on, into, fit } = at;
  const why = reason(to, at, candidates);
  return { ok: true, candidates, at, choice: { way, scale, pieces, on, into, fit, why } };
}
