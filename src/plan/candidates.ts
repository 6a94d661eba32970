/**
 * Every way that a draw could be weighed in this workshop: each scale with each way and each vessel, in parts where one
 * vessel is too small, with all that stands against it.
 */
import type { FormulaDraw, Way } from '../formula/model.ts';
import { lesser, type Mass, mass, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Scale, Vessel, Workshop } from '../workshop/model.ts';
import { checkOn, type Fit, noRoom, type Obstacle, type OnPan, type Wanted } from './feasible.ts';
import type { Piece } from './lots.ts';
import { cutForRoom, MOST_PARTS, mostOfPart, shareOut } from './parts.ts';
import { leastPart, type Margins, margins } from './plannedBand.ts';

/** A vessel that the ingredient may end up in, and the most that lies in it before. */
export interface Place {
  readonly vessel: Vessel;
  readonly most: Mass;
  readonly ml: number;
}

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
  /** Where there are several such vessels: the one that is being filled, and those after it. */
  readonly places?: readonly Place[];
  /** Whether a lot's share may be weighed in several parts, where a vessel is too small for it; false when left out. */
  readonly mayCut?: boolean;
  readonly cups: readonly Vessel[];
  readonly workshop: Workshop;
}

export interface Candidate {
  readonly way: Way;
  readonly scale: Scale;
  /** The weighings in order; they add up to the target. */
  readonly pieces: readonly Piece[];
  /** What stands on the pan, for each of them. */
  readonly on: readonly Vessel[];
  /** Where each of them ends up. */
  readonly into: readonly Vessel[];
  readonly fit: Fit;
  /** All that stands in the way; none: it can be weighed so. */
  readonly obstacles: readonly Obstacle[];
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

/** All candidates, in the order of ways, scales and vessels that they are preferred in when all else is equal. */
export function candidatesFor(to: ToPlace): Candidate[] {
  return waysFor(to.draw).flatMap((way) =>
    scalesFor(way, to.draw, to.workshop).flatMap((scale) => BY_WAY[way](to, scale)),
  );
}

const BY_WAY: Readonly<Record<Way, (to: ToPlace, scale: Scale) => Candidate[]>> = {
  add: addCandidates,
  cup: cupCandidates,
  subtract: subtractCandidates,
};

function wantedOf({ target, draw, weighedBefore = 0, density }: ToPlace, pieces: readonly Piece[]): Wanted {
  return { target, tolerance: draw.tolerance, pieces: pieces.map(({ amount }) => amount), weighedBefore, density };
}

function placesOf({ places, vessel, inVessel }: ToPlace): readonly Place[] {
  return places ?? [{ vessel, most: inVessel, ml: 0 }];
}

function addCandidates(to: ToPlace, scale: Scale): Candidate[] {
  const places = placesOf(to);
  const [first, ...others] = places;
  if (!first) return [];
  if (others.length === 0)
    return [
      addInto(
        to,
        scale,
        to.pieces.map((piece) => ({ piece, place: first })),
        false,
      ),
    ];
  const starts = first.most > 0 ? [places, others] : [places];
  return starts.map((from) => {
    const shared = to.mayCut ? sharedOut(to, scale, from) : undefined;
    const [start = first] = from;
    return addInto(to, scale, shared ?? to.pieces.map((piece) => ({ piece, place: start })), true);
  });
}

/** Over as few vessels as hold it, each in proportion to its room; undefined where the most parts don't suffice. */
function sharedOut(to: ToPlace, scale: Scale, from: readonly Place[]) {
  const { pieces, target, density, draw } = to;
  const margin = margins(target, draw.tolerance);
  for (let count = 1; count <= Math.min(from.length, MOST_PARTS); count++) {
    const places = from.slice(0, count);
    // Each lot's end may fall within a vessel: then there is one weighing more.
    const parts = count + pieces.length - 1;
    const rooms = places.map((place) => roomIn(place, scale, density, margin, parts));
    if (rooms.some((room) => room <= 0) || sumOf(rooms) < target) continue;
    return shareOut(pieces, splitByShares(target, rooms)).map(({ piece, place }) => {
      return { piece, place: places[place] ?? places[0] };
    });
  }
  return undefined;
}

/** So much of a target may be planned for a vessel, that with all margins it has room and is not too heavy. */
function roomIn(
  { vessel, most, ml }: Place,
  scale: Scale,
  density: number | undefined,
  margin: Margins,
  parts: number,
): Mass {
  const load = scale.capacity - vessel.tare - most;
  const room =
    density === undefined || vessel.usableMl === undefined
      ? load
      : Math.floor((vessel.usableMl - ml) * density * 1_000_000);
  return mass(Math.max(0, Math.floor(lesser(mass(load), mass(room)) - margin.over - (parts - 1) * margin.under)));
}

function addInto(
  to: ToPlace,
  scale: Scale,
  placed: readonly { readonly piece: Piece; readonly place: Place | undefined }[],
  checksRoom: boolean,
): Candidate {
  const { vessel } = to;
  const pieces = placed.map(({ piece }) => piece);
  const margin = margins(to.target, to.draw.tolerance);
  const amounts = pieces.map(({ amount }) => amount);
  const into = placed.map(({ place }) => place?.vessel ?? vessel);
  const isShared = new Set(into).size > 1;
  const before = new Map<Vessel, Mass>();
  const pans = placed.map(({ piece, place }): OnPan => {
    const on = place?.vessel ?? vessel;
    const load = before.get(on) ?? mass(on.tare + (place?.most ?? 0));
    before.set(on, mass(load + piece.amount));
    return { vessel: on, load, grows: true };
  });
  const mosts = isShared ? amounts.map((_, index) => mostOfPart(amounts, index, margin)) : [];
  const { fit, obstacles } = checkOn(wantedOf(to, pieces), scale, pans, mosts);
  const full = checksRoom
    ? [...new Set(placed.map(({ place }) => place))].map((place) => overflowing(to, place, placed))
    : [];
  return {
    way: 'add',
    scale,
    pieces,
    on: into,
    into,
    fit,
    obstacles: [...obstacles, ...full.filter((each) => each !== undefined), ...crumbs(to, pieces)],
  };
}

/** Parts that are worth no weighing of their own: with so little, the band would reach down to nothing. */
function crumbs({ target, draw, pieces }: ToPlace, cut: readonly Piece[]): readonly Obstacle[] {
  if (cut.length === pieces.length || cut.every(({ amount }) => amount >= leastPart(target, draw))) return [];
  return [{ kind: 'none', why: 'shared between vessels, a part would be too small to weigh' }];
}

/** Whether what is put into one of several vessels is too much for it. */
function overflowing(
  { target, draw, density }: ToPlace,
  place: Place | undefined,
  placed: readonly { readonly piece: Piece; readonly place: Place | undefined }[],
): Obstacle | undefined {
  if (!place) return undefined;
  const here = placed.filter((each) => each.place === place);
  const { under, over } = margins(target, draw.tolerance);
  const earlier = here.length < placed.length && here.at(-1) === placed.at(-1) ? (placed.length - 1) * under : 0;
  const most = mass(sumOf(here.map(({ piece }) => piece.amount)) + over + earlier);
  return noRoom(place.vessel, place.ml, most, density);
}

/** Where a cup or spoon is emptied: the first of the vessels that has room. */
function tippedInto(to: ToPlace): Vessel {
  const { over } = margins(to.target, to.draw.tolerance);
  const places = placesOf(to);
  if (places.length === 1) return places[0]?.vessel ?? to.vessel;
  const found = places.find(({ vessel, ml }) => noRoom(vessel, ml, mass(to.target + over), to.density) === undefined);
  return (found ?? places[0])?.vessel ?? to.vessel;
}

function cupCandidates(to: ToPlace, scale: Scale): Candidate[] {
  const { draw, cups, workshop } = to;
  const tried = draw.cup === undefined ? cups : [...workshop.vessels.values()].filter(({ id }) => id === draw.cup);
  if (tried.length > 0) return tried.map((cup) => cupCandidate(to, scale, cup));
  const { fit } = checkOn(wantedOf(to, to.pieces), scale, []);
  const none: Obstacle = { kind: 'none', why: 'the workshop has no vessel to use as a cup' };
  return [{ way: 'cup', scale, pieces: to.pieces, on: [], into: [], fit, obstacles: [none] }];
}

function cupCandidate(to: ToPlace, scale: Scale, cup: Vessel): Candidate {
  const margin = margins(to.target, to.draw.tolerance);
  const hasRoom = (most: Mass) => noRoom(cup, 0, most, to.density) === undefined && cup.tare + most <= scale.capacity;
  const pieces = (to.mayCut ? cutForRoom(to.pieces, margin, hasRoom) : undefined) ?? to.pieces;
  const amounts = pieces.map(({ amount }) => amount);
  const mosts = amounts.map((_, index) => mostOfPart(amounts, index, margin));
  const pan = { vessel: cup, load: cup.tare, grows: true };
  const isCut = pieces.length > 1;
  const checked = checkOn(
    wantedOf(to, pieces),
    scale,
    pieces.map(() => pan),
    isCut ? mosts : [],
  );
  const room = mosts.map((most) => noRoom(cup, 0, most, to.density)).find(Boolean);
  const most = to.mayCut ? MOST_PARTS : 1;
  return {
    way: 'cup',
    scale,
    pieces,
    on: pieces.map(() => cup),
    into: pieces.map(() => tippedInto(to)),
    fit: checked.fit,
    obstacles: tightestFirst([...checked.obstacles, ...(room ? [room] : []), ...crumbs(to, pieces)]).map((each) =>
      inParts(each, most),
    ),
  };
}

/** What limits load or room counts as often as there may be parts. */
function inParts(obstacle: Obstacle, parts: number): Obstacle {
  if (parts === 1 || (obstacle.kind !== 'load' && obstacle.kind !== 'room')) return obstacle;
  const { kind, fits, needs, instead } = obstacle;
  return {
    kind,
    needs,
    instead,
    fits: fits * parts,
    get why() {
      return `${obstacle.why}, too much even for ${parts} parts`;
    },
  };
}

/** Of load and room, what limits more is told first; whether the scale is good enough, last. */
function tightestFirst(obstacles: readonly Obstacle[]): Obstacle[] {
  const lack = (of: Obstacle) => (of.kind === 'load' || of.kind === 'room' ? of.fits / of.needs : 2);
  return [...obstacles].sort((a, b) => lack(a) - lack(b));
}

function subtractCandidates(to: ToPlace, scale: Scale): Candidate[] {
  const { pieces, workshop } = to;
  const jars = pieces.map(({ lot }) => (lot.jar === undefined ? undefined : workshop.vessels.get(lot.jar)));
  const known = jars.filter((jar) => jar !== undefined);
  const without = pieces.find((_, index) => jars[index] === undefined)?.lot.id ?? '';
  const pans = known.map((jar, index): OnPan => {
    return { vessel: jar, load: mass(jar.tare + (pieces[index]?.onHand ?? ZERO)), grows: false };
  });
  const isKnown = pieces.length > 0 && known.length === pieces.length;
  const { fit, obstacles } = checkOn(wantedOf(to, pieces), scale, isKnown ? pans : []);
  const why =
    without === '' ? 'it has no lot with a jar to take it out of' : `lot ${without} has no jar to take it out of`;
  return [
    {
      way: 'subtract',
      scale,
      pieces,
      on: known,
      into: pieces.map(() => tippedInto(to)),
      fit,
      obstacles: isKnown ? obstacles : [{ kind: 'none', why }],
    },
  ];
}
