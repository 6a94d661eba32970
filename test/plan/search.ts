/**
 * The best way to weigh a draw, found by trying every scale, way, vessel and number of parts by every rule. Written apart
 * from the planner, and so simply that it can be read against the stated order of preference.
 *
 * Sources of the rules: USP general chapters 41 and 1251 (smallest weight), JCGM 100 (uncertainty), JCGM 106 (guard band).
 */
import type { FormulaDraw, Tolerance, Way } from '../../src/formula/model.ts';
import type { Scale, Vessel } from '../../src/workshop/model.ts';

const MILLION = 1_000_000;
const MOST_PARTS = 4;

export interface Lump {
  readonly amount: number;
  readonly onHand: number;
  readonly jar: Vessel | undefined;
}

export interface Situation {
  readonly draw: FormulaDraw;
  readonly target: number;
  /** What comes from each lot. */
  readonly lots: readonly Lump[];
  readonly density: number | undefined;
  readonly bowl: Vessel;
  /** The most that is in it. */
  readonly inBowl: number;
  readonly scales: readonly Scale[];
  readonly cups: readonly Vessel[];
}

export interface Found {
  readonly way: Way;
  readonly scale: string;
  readonly vessel: string;
  readonly parts: number;
  readonly guard: number;
}

export function sides(target: number, { under, over, floor }: Tolerance): { under: number; over: number } {
  const side = (of: Tolerance['under']) =>
    Math.max('mass' in of ? of.mass : Math.floor((target * of.ppm) / MILLION), floor ?? 0);
  return { under: side(under), over: side(over) };
}

/** k = 2, of the difference of two readings. */
export function uncertaintyOf({ d, repeatability }: Scale): number {
  const s = repeatability ?? 0;
  return Math.ceil(2 * Math.sqrt((2 * d * d) / 12 + 2 * s * s));
}

/** Lowest and highest accepted weight on a scale, or why it can't be judged there. */
export function bandOn(scale: Scale, target: number, tolerance: Tolerance, weighings: number) {
  const { under, over } = sides(target, tolerance);
  const half = Math.min(under, over);
  const u = Math.ceil(uncertaintyOf(scale) * Math.sqrt(weighings));
  const guard = 3 * u <= half ? 0 : u;
  const low = Math.ceil((target - under + guard) / scale.d) * scale.d;
  const high = Math.floor((target + over - guard) / scale.d) * scale.d;
  const share = (of: Tolerance['under']) =>
    Math.max('mass' in of ? of.mass / target : of.ppm / MILLION, (tolerance.floor ?? 0) / target);
  const relative = Math.min(share(tolerance.under), share(tolerance.over));
  const least = (2 * Math.max(scale.repeatability ?? 0, 0.41 * scale.d)) / relative;
  const isGood = target >= least * (1 - 1e-12) && half >= u + scale.d && low >= scale.d && low <= high;
  return { low, high, guard, isGood };
}

/** Equal parts in whole micrograms, the larger ones first. */
export function equalParts(amount: number, count: number): number[] {
  const small = Math.floor(amount / count);
  return Array.from({ length: count }, (_, index) => small + (index < amount - small * count ? 1 : 0));
}

/** Every way to cut so many lots into parts, at most so many in all. */
export function* countsFor(lots: number, most: number): Generator<number[]> {
  if (lots === 0) {
    yield [];
    return;
  }
  for (let first = 1; first <= most - (lots - 1); first++) {
    for (const others of countsFor(lots - 1, most - first)) yield [first, ...others];
  }
}

/** Whether it can be weighed so; the guard band if it can. */
function tried(at: Situation, way: Way, scale: Scale, vessel: Vessel | null, counts: readonly number[]): number | null {
  const { target, draw, lots, density } = at;
  const { under, over } = sides(target, draw.tolerance);
  const amounts = lots.flatMap(({ amount }, index) => equalParts(amount, counts[index] ?? 1));
  const isCut = amounts.length > lots.length;
  if (isCut && (way !== 'cup' || amounts.some((amount) => amount < 2 * Math.max(under, over)))) return null;
  const { low, high, guard, isGood } = bandOn(scale, target, draw.tolerance, amounts.length);
  if (!isGood) return null;
  let earlier = 0;
  for (const [index, amount] of amounts.entries()) {
    const isLast = index === amounts.length - 1;
    const from = isLast ? low - earlier : amount - under + guard;
    const to = isLast ? high - earlier : amount + over - guard;
    const [lowest, highest] = [Math.ceil(from / scale.d) * scale.d, Math.floor(to / scale.d) * scale.d];
    if (lowest < scale.d || lowest > highest) return null;
    const most = amount + over + (isLast ? index * under : 0);
    if (way === 'add' && at.bowl.tare + at.inBowl + earlier + highest > scale.capacity) return null;
    if (way === 'cup' && vessel) {
      if (vessel.tare + (amounts.length > 1 ? most : highest) > scale.capacity) return null;
      if (density !== undefined && most / MILLION / density > (vessel.usableMl ?? 0)) return null;
    }
    const lot = lots[index];
    if (way === 'subtract' && (!lot?.jar || lot.jar.tare + lot.onHand > scale.capacity)) return null;
    earlier += amount;
  }
  return guard;
}

/** All that can be done, the best first. */
export function search(at: Situation): Found[] {
  const { draw, lots } = at;
  const found: (Found & { readonly key: readonly number[] })[] = [];
  const ways: readonly Way[] = draw.way ? [draw.way] : ['add', 'cup', 'subtract'];
  for (const way of ways) {
    for (const scale of at.scales.filter(({ id }) => draw.scale === undefined || id === draw.scale)) {
      const cups = at.cups.filter(({ id }) => draw.cup === undefined || id === draw.cup);
      for (const vessel of way === 'cup' ? cups : [null]) {
        for (const counts of countsFor(lots.length, Math.max(MOST_PARTS, lots.length))) {
          const guard = tried(at, way, scale, vessel, counts);
          if (guard === null) continue;
          const parts = counts.reduce((sum, count) => sum + count, 0);
          const key = [
            draw.over === 'never' && way !== 'cup' ? 1 : 0,
            parts,
            guard > 0 ? 1 : 0,
            ['add', 'cup', 'subtract'].indexOf(way),
            way === 'add' ? -scale.d : scale.d,
            way === 'add' ? -scale.capacity : scale.capacity,
            vessel?.usableMl ?? 0,
          ];
          found.push({ way, scale: scale.id, vessel: vessel?.id ?? '', parts, guard, key });
        }
      }
    }
  }
  return found
    .sort((a, b) => {
      const at = a.key.findIndex((value, index) => value !== b.key[index]);
      return at < 0 ? 0 : (a.key[at] ?? 0) - (b.key[at] ?? 0);
    })
    .map(({ key: _key, ...each }) => each);
}
