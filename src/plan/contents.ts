/** What each vessel will hold as the work goes on: for what a scale must carry and a vessel must have room for. */
import { type Mass, mass, ZERO } from '../mass/mass.ts';

export interface Content {
  /** The most that it can weigh, without the vessel. */
  readonly most: Mass;
  /** Its volume as the ingredients lie loose, millilitres; those of unknown density are not in it. */
  readonly ml: number;
}

/** Vessel id to content; a vessel that is not named is empty. */
export type Contents = ReadonlyMap<string, Content>;

const NOTHING: Content = { most: ZERO, ml: 0 };

export function contentOf(contents: Contents, vessel: string): Content {
  return contents.get(vessel) ?? NOTHING;
}

/** After something was put into a vessel. */
export function filled(contents: Contents, vessel: string, more: Content): Contents {
  const { most, ml } = contentOf(contents, vessel);
  return new Map(contents).set(vessel, { most: mass(most + more.most), ml: ml + more.ml });
}

/** After one vessel was emptied into another. */
export function combined(contents: Contents, from: string, into: string): Contents {
  const moved = filled(contents, into, contentOf(contents, from));
  return new Map(moved).set(from, NOTHING);
}

/** Millilitres that a mass takes. @returns undefined when the density (g/ml) is not known */
export function volumeOf(of: Mass, density: number | undefined): number | undefined {
  return density === undefined ? undefined : of / 1_000_000 / density;
}
