/**
 * The largest batch that the jars allow, or that fills a vessel: found by trying the planner itself, so that it works and the
 * next larger one does not.
 */
import { wholeOf } from '../formula/checkFormula.ts';
import type { Formula } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Workshop } from '../workshop/model.ts';
import { type BatchSize, barsFrom, massForBars } from './batchSize.ts';
import { combined, contentOf, filled, volumeOf } from './contents.ts';
import { isUsable } from './lots.ts';
import { margins } from './plannedBand.ts';

/** Sizes are tried downwards by so much each, until one works; between it and the one before, the edge is found exactly. */
const STEP = 0.97;
/** Below a thousandth of what the stock would give, some other thing is in the way. */
const LEAST = 0.001;
/** So many bars are tried one by one. */
const BARS_ONE_BY_ONE = 200;

/** A size in its own unit: whole bars where the formula makes bars, else micrograms. */
function sizeOf(n: number, { bar }: Formula): NonNullable<BatchSize> {
  return bar === undefined ? { mass: mass(n) } : { bars: n };
}

/** No larger batch than this can be had from the lots in date. Micrograms. */
export function stockBound({ ingredients }: Workshop, formula: Formula, today: string): Mass {
  const whole = BigInt(wholeOf(formula));
  const draws = formula.phases.flatMap(({ work }) => work.filter((item) => item.kind === 'draw'));
  let least = BigInt(Number.MAX_SAFE_INTEGER);
  for (const id of new Set(draws.map(({ ingredient }) => ingredient))) {
    const own = draws.filter(({ ingredient }) => ingredient === id);
    const share = own.reduce((sum, draw) => sum + BigInt(draw.share), 0n);
    const lots = ingredients.get(id)?.lots.filter((lot) => isUsable(lot, today)) ?? [];
    const onHand = lots.reduce((sum, lot) => sum + BigInt(lot.onHand), 0n);
    // Each draw may be rounded down by less than a microgram.
    const most = ((onHand + BigInt(own.length)) * whole) / share;
    if (most < least) least = most;
  }
  return mass(Number(least));
}

/** The last number that works between one that does and a larger one that does not. */
function edge(works: (n: number) => boolean, good: number, bad: number): number {
  let [inside, outside] = [good, bad];
  while (outside - inside > 1) {
    const middle = Math.floor((inside + outside) / 2);
    if (works(middle)) inside = middle;
    else outside = middle;
  }
  return inside;
}

/**
 * The largest number from 1 to `most` that works; its next does not. Exact where what works is one stretch without gaps, or
 * lies among the first `oneByOne`; a stretch that is narrower than the steps beyond may be missed.
 */
export function largestThatWorks(works: (n: number) => boolean, most: number, oneByOne = 0): number | undefined {
  let bad = most + 1;
  for (let n = most; n >= 1 && n >= most * LEAST; ) {
    if (works(n)) return edge(works, n, bad);
    bad = n;
    n = most - n < oneByOne ? n - 1 : Math.min(n - 1, Math.floor(n * STEP));
  }
  return undefined;
}

/**
 * The largest batch that the planner takes, from what is in stock.
 * @param works whether a batch of a size can be planned
 * @returns undefined when none can
 */
export function largestFromStock(
  workshop: Workshop,
  formula: Formula,
  today: string,
  works: (size: NonNullable<BatchSize>) => boolean,
): { readonly size: NonNullable<BatchSize>; readonly next: NonNullable<BatchSize> } | undefined {
  const { bar, lossPpm } = formula;
  const bound = stockBound(workshop, formula, today);
  const most = bar === undefined ? bound : Math.min(barsFrom(bound, bar, lossPpm, 'down') + 1, 100_000);
  const n = largestThatWorks((each) => works(sizeOf(each, formula)), most, bar === undefined ? 0 : BARS_ONE_BY_ONE);
  return n === undefined ? undefined : { size: sizeOf(n, formula), next: sizeOf(n + 1, formula) };
}

export type Fill =
  | { readonly ok: true; readonly size: NonNullable<BatchSize>; readonly inIt: boolean }
  | { readonly ok: false; readonly why: string };

/** The most millilitres that are in a vessel at any time; with a vessel that has no part in the work, all of the batch. */
function fullest({ ingredients }: Workshop, formula: Formula, size: Mass, vessel: string | undefined): number {
  const draws = formula.phases.flatMap(({ work }) => work.filter((item) => item.kind === 'draw'));
  const targets = splitByShares(
    size,
    draws.map(({ share }) => share),
  );
  let contents: ReadonlyMap<string, { readonly most: Mass; readonly ml: number }> = new Map();
  let [peak, all, done] = [0, 0, 0];
  for (const phase of formula.phases) {
    for (const item of phase.work) {
      if (item.kind === 'draw') {
        const target = targets[done] ?? mass(0);
        done += 1;
        const most = mass(target + margins(target, item.tolerance).over);
        const ml = volumeOf(most, ingredients.get(item.ingredient)?.density) ?? 0;
        all += ml;
        contents = filled(contents, phase.vessel, { most, ml });
      } else if (item.step === 'combine' && item.vessel !== undefined && item.into !== undefined) {
        contents = combined(contents, item.vessel, item.into);
      }
      if (vessel !== undefined) peak = Math.max(peak, contentOf(contents, vessel).ml);
    }
  }
  return vessel === undefined ? all : peak;
}

/**
 * The largest batch that a vessel has room for, by the loose volumes of what is in it at its fullest, each at the top of
 * its band. Whether it can be weighed is for the planner to say.
 */
export function fillVessel(workshop: Workshop, formula: Formula, id: string): Fill {
  const vessel = workshop.vessels.get(id);
  if (vessel?.usableMl === undefined) {
    const why = vessel
      ? `The workshop file does not say what ${vessel.name} holds (\`usable\`).`
      : 'The workshop has no vessel of that name.';
    return { ok: false, why };
  }
  const work = formula.phases.flatMap((phase) => phase.work.map((item) => ({ phase, item })));
  const unknown = work.flatMap(({ item }) => {
    const ingredient = item.kind === 'draw' ? workshop.ingredients.get(item.ingredient) : undefined;
    return ingredient && ingredient.density === undefined ? [ingredient.name] : [];
  });
  if (unknown.length > 0) {
    const names = [...new Set(unknown)].join(', ');
    return { ok: false, why: `How full ${vessel.name} gets can't be told: the density of ${names} is not known.` };
  }
  const inIt = work.some(({ phase, item }) => phase.vessel === id || (item.kind === 'step' && item.into === id));
  const usable = vessel.usableMl;
  const { bar, lossPpm } = formula;
  const fits = (n: number) => {
    const size = bar === undefined ? mass(n) : massForBars(n, bar, lossPpm);
    return fullest(workshop, formula, size, inIt ? id : undefined) <= usable;
  };
  // No powder or liquid of a workshop is denser than 25 g/ml (`quantities.ts`).
  const densest = usable * 25 * 1_000_000 * 1_000;
  const most = Math.min(bar === undefined ? densest : 100_000, Number.MAX_SAFE_INTEGER / 2);
  if (!fits(1)) return { ok: false, why: `${vessel.name} is too small for any batch of it.` };
  return { ok: true, size: sizeOf(edge(fits, 1, Math.floor(most)), formula), inIt };
}
