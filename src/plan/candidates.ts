/**
 * Every way that a draw could be weighed in this workshop: each scale with each way and each vessel, in parts where one
 * vessel is too small, with all that stands against it.
 */
import type { FormulaDraw, Way } from '../formula/model.ts';
import { type Mass, mass, ZERO } from '../mass/mass.ts';
import type { Scale, Vessel, Workshop } from '../workshop/model.ts';
import { addCandidates } from './addCandidates.ts';
import { type Candidate, crumbs, placesOf, type ToPlace, wantedOf } from './candidate.ts';
import { checkOn, isOfSize, noRoom, type Obstacle, type OnPan } from './feasible.ts';
import type { Piece } from './lots.ts';
import { cutForRoom, MOST_PARTS, mostOfPart } from './parts.ts';
import { margins } from './plannedBand.ts';

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

/** All in one cup, or one for each lot; only where it is too small or too heavy so, in more parts. */
function cupCandidate(to: ToPlace, scale: Scale, cup: Vessel): Candidate {
  const whole = byCup(to, scale, cup, to.pieces);
  if (!to.mayCut || !whole.obstacles.some(isOfSize)) return whole;
  const margin = margins(to.target, to.draw.tolerance);
  const hasRoom = (most: Mass) => noRoom(cup, 0, most, to.density) === undefined && cup.tare + most <= scale.capacity;
  const cut = cutForRoom(to.pieces, margin, hasRoom);
  return cut ? byCup(to, scale, cup, cut) : whole;
}

function byCup(to: ToPlace, scale: Scale, cup: Vessel, pieces: readonly Piece[]): Candidate {
  const margin = margins(to.target, to.draw.tolerance);
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
  if (parts === 1 || !isOfSize(obstacle)) return obstacle;
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
  const lack = (of: Obstacle) => (isOfSize(of) ? of.fits / of.needs : 2);
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
