/**
 * What would help where a batch is refused: other sizes, bands and vessels. Nothing is told that was not tried: the
 * batch is planned with it, and the draw is no longer refused.
 */
import type { Formula, FormulaDraw, Tolerance } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { Vessel, Workshop } from '../workshop/model.ts';
import { type Fix, sayFix } from './fix.ts';
import type { Refusal } from './model.ts';
import { edgeNear, sizeNear } from './nearestSize.ts';

/** A batch that is tried. */
export interface Trial {
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly size: Mass;
}

/** Plans a batch and tells what is refused of it. */
export type Try = (trial: Trial) => readonly Refusal[];

export interface Fixes {
  readonly refusals: readonly Refusal[];
  readonly nearest?: Fix['size'];
}

/** Puts what really helps beside each refusal. */
export function tryFixes(asked: Trial, refusals: readonly Refusal[], plan: Try): Fixes {
  const tried = refusals.map((refusal) =>
    refusal.fix ? { refusal, fix: tryFix(asked, refusal, refusal.fix, plan, refusals) } : { refusal },
  );
  const told = tried.map(({ refusal: { fix: _estimate, overfull: _vessel, ...told }, fix }): Refusal => {
    return fix ? { ...told, instead: sayFix(fix, asked.formula) } : told;
  });
  const nearest = nearestForAll(
    asked,
    tried.map(({ fix }) => fix?.size),
    plan,
  );
  return { refusals: told, ...(nearest && refusals.length > 1 ? { nearest } : {}) };
}

/** A size at which nothing is refused, where all that is refused asks for a smaller, or all for a larger one. */
function nearestForAll(asked: Trial, sizes: readonly Fix['size'][], plan: Try): Fix['size'] {
  const known = sizes.filter((size) => size !== undefined);
  const [first] = known;
  if (!first || known.length < sizes.length || known.some(({ bound }) => bound !== first.bound)) return undefined;
  const masses = known.map(({ mass }) => mass);
  const start = mass(first.bound === 'least' ? Math.max(...masses) : Math.min(...masses));
  const found = sizeNear((size) => plan({ ...asked, size }).length === 0, first.bound, start);
  return found && { bound: first.bound, mass: found };
}

function tryFix(asked: Trial, refusal: Refusal, fix: Fix, plan: Try, before: readonly Refusal[]): Fix {
  const helps = (trial: Partial<Trial>) => !plan({ ...asked, ...trial }).some((other) => isSame(other, refusal));
  // Another vessel must not bring troubles of its own.
  const helpsAndNoMore = (trial: Partial<Trial>) => {
    const left = plan({ ...asked, ...trial });
    return (
      !left.some((other) => isSame(other, refusal)) &&
      left.every((other) => before.some((known) => isSame(other, known)))
    );
  };
  const { size, band } = fix;
  const near = size && sizeNear((each) => helps({ size: each }), size.bound, size.mass);
  return {
    ...fix,
    size: size && near && { bound: size.bound, mass: near },
    band: band && tryBand(asked, refusal, band, helps),
    others: [...otherVessels(asked, fix.vessel, helpsAndNoMore), ...fix.others],
  };
}

/** The same draw can't be weighed, for whatever reason; or the same vessel overflows, wherever it first does. */
function isSame(a: Refusal, b: Refusal): boolean {
  if (a.overfull !== undefined || b.overfull !== undefined) return a.overfull === b.overfull;
  return a.where === b.where;
}

type Helps = (trial: Partial<Trial>) => boolean;

/** Bands are told to a hundredth of a percent, or a milligram. */
const PPM_STEP = 100;
const MASS_STEP = 1_000;

function tryBand(
  { formula }: Trial,
  { where }: Refusal,
  { half, share }: NonNullable<Fix['band']>,
  helps: Helps,
): Fix['band'] {
  const target = share === null ? undefined : half / share;
  const step = share === null ? MASS_STEP : PPM_STEP;
  const estimate = share === null ? half : share * 1_000_000;
  const works = (at: number) => {
    const side = share === null ? { mass: mass(at * step) } : { ppm: at * step };
    return helps({ formula: withTolerance(formula, where, { under: side, over: side, floor: undefined }) });
  };
  const start = Math.ceil(Number((estimate / step).toPrecision(12)));
  const found = edgeNear(works, 'least', start, 1, start * 4);
  if (found === undefined) return undefined;
  return target === undefined
    ? { half: mass(found * step), share: null }
    : { half: mass(Math.round((target * found * step) / 1_000_000)), share: (found * step) / 1_000_000 };
}

/** The formula with another band for the draw of this id: the phase's letters and the draw's number in it. */
function withTolerance(formula: Formula, id: string | null, tolerance: Tolerance): Formula {
  const phases = formula.phases.map((phase) => {
    let draws = 0;
    const work = phase.work.map((item) => {
      if (item.kind !== 'draw') return item;
      draws += 1;
      return `${phase.id}${draws}` === id ? ({ ...item, tolerance } satisfies FormulaDraw) : item;
    });
    return { ...phase, work };
  });
  return { ...formula, phases };
}

/** The most vessels alike that are asked for. */
const MOST_ALIKE = 3;

/** Vessels of the workshop that would do in place of one, the smallest; and more of the same. */
function otherVessels({ workshop, formula }: Trial, id: string | undefined, helps: Helps): string[] {
  const vessel = id === undefined ? undefined : workshop.vessels.get(id);
  if (!vessel || id === undefined) return [];
  const inPlace = unused(workshop, formula).find((other) => helps({ formula: withVessel(formula, id, other.id) }));
  const found = inPlace ? [`${inPlace.name} in its place`] : [];
  for (let count = (vessel.count ?? 1) + 1; count <= MOST_ALIKE; count++) {
    const vessels = new Map(workshop.vessels).set(id, { ...vessel, count });
    if (helps({ workshop: { ...workshop, vessels } }))
      return [...found, `${count} of ${vessel.name} (\`count: ${count}\`)`];
  }
  return found;
}

/** Vessels that the formula does not work in and that hold no lot, the smallest first. */
function unused(workshop: Workshop, formula: Formula): Vessel[] {
  const taken = new Set<string | undefined>(formula.phases.map(({ vessel }) => vessel));
  for (const item of formula.phases.flatMap(({ work }) => work)) {
    if (item.kind === 'step') taken.add(item.vessel).add(item.into);
    else taken.add(item.cup);
  }
  for (const { lots } of workshop.ingredients.values()) for (const { jar } of lots) taken.add(jar);
  return [...workshop.vessels.values()]
    .filter(({ id, usableMl }) => usableMl !== undefined && !taken.has(id))
    .sort((a, b) => (a.usableMl ?? 0) - (b.usableMl ?? 0));
}

function withVessel(formula: Formula, from: string, to: string): Formula {
  const swap = <T extends string | undefined>(id: T) => (id === from ? to : id);
  const phases = formula.phases.map((phase) => ({
    ...phase,
    vessel: swap(phase.vessel),
    work: phase.work.map((item) => {
      return item.kind === 'draw' ? item : { ...item, vessel: swap(item.vessel), into: swap(item.into) };
    }),
  }));
  return { ...formula, phases };
}
