/** Weighing straight into the vessel: all into one, or shared out over several that are alike. */
import { lesser, type Mass, mass, sumOf } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Scale, Vessel } from '../workshop/model.ts';
import { type Candidate, crumbs, type Place, placesOf, type ToPlace, wantedOf } from './candidate.ts';
import { checkOn, isOfSize, noRoom, type Obstacle, type OnPan } from './feasible.ts';
import type { Piece } from './lots.ts';
import { MOST_PARTS, mostOfPart, shareOut } from './parts.ts';
import { type Margins, margins } from './plannedBand.ts';

/** The candidates of the way `add` on one scale. */
export function addCandidates(to: ToPlace, scale: Scale): Candidate[] {
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
    const [start = first] = from;
    const whole = addInto(
      to,
      scale,
      to.pieces.map((piece) => ({ piece, place: start })),
      true,
    );
    const shared = to.mayCut && whole.obstacles.some(isOfSize) ? sharedOut(to, scale, from) : undefined;
    return shared ? addInto(to, scale, shared, true) : whole;
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
