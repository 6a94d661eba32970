/** Vessels of which the workshop has several: the second goes by the first one's id and a number, as at the bench. */
import type { Vessel } from '../workshop/model.ts';
import type { Place } from './candidate.ts';
import { type Contents, combined, contentOf } from './contents.ts';

/** The vessel itself and those like it, in the order that they are filled. */
export function alike(vessel: Vessel): Vessel[] {
  return Array.from({ length: vessel.count ?? 1 }, (_, index): Vessel => {
    if (index === 0) return vessel;
    const number = index + 1;
    const name = number === 2 ? `second ${vessel.name}` : `${vessel.name}, number ${number}`;
    return { ...vessel, id: `${vessel.id}+${number}`, name, note: undefined };
  });
}

/** Where the next draw into a vessel may go: the last of its like that holds something, and those after it. */
export function placesFor(contents: Contents, vessel: Vessel): Place[] {
  const places = alike(vessel).map((each): Place => ({ vessel: each, ...contentOf(contents, each.id) }));
  const begun = places.findLastIndex(({ most }) => most > 0);
  return places.slice(Math.max(begun, 0));
}

/** A vessel of the workshop by its id, or one like it by the id that `alike` gave it. */
export function vesselById(vessels: ReadonlyMap<string, Vessel>, id: string): Vessel | undefined {
  const known = vessels.get(id);
  const base = vessels.get(id.replace(/\+\d$/, ''));
  return known ?? (base && alike(base).find((each) => each.id === id));
}

/** After a vessel was emptied into another: what is done with it is done with those of its like that it ran over into. */
export function allCombined(
  contents: Contents,
  vessels: ReadonlyMap<string, Vessel>,
  from: string,
  into: string,
): Contents {
  const first = vessels.get(from);
  return (first ? alike(first).map(({ id }) => id) : [from]).reduce((all, each) => combined(all, each, into), contents);
}
