/** What a batch costs in material: each lot's price, and what really left it. */
import { type Mass, minus, sumOf, ZERO } from '../mass/mass.ts';
import { papersOf } from '../plan/lotPapers.ts';
import type { Plan } from '../plan/model.ts';
import { costOf, type Money, printMoney } from './money.ts';

/** What left one lot. */
export interface LotTaken {
  readonly ingredient: string;
  readonly lot: string;
  /** Waste included. */
  readonly taken: Mass;
  /** What of it left for nothing. */
  readonly waste: Mass;
}

export interface CostLine extends LotTaken {
  readonly name: string;
  /** null when no price is known. */
  readonly pricePerKg: string | null;
  readonly cost: Money;
  /** What of it is waste. */
  readonly wasteCost: Money;
}

export interface Cost {
  readonly currency: string | null;
  /** Bars that it is divided by; null for a craft without bars, and while more may be used. */
  readonly bars: number | null;
  /** What those bars are. */
  readonly among: CostAmong['kind'];
  readonly lines: readonly CostLine[];
  /** All that left the lots and has a price, waste included. */
  readonly material: Money;
  readonly waste: Money;
  /** Lots without a price: names and codes. */
  readonly unpriced: readonly string[];
  /** What was not wasted: a kilogram is of that. */
  readonly kept: Mass;
}

/** What a batch is divided by: as planned; planned, as none of its bars were weighed off; bars weighed off; not yet; never. */
export type CostAmong =
  | { readonly kind: 'plan' | 'planned' | 'open' | 'none' }
  | { readonly kind: 'weighed'; readonly bars: number };

/** @param plan whose papers tell the prices */
export function costFrom(plan: Plan, taken: readonly LotTaken[], among: CostAmong = { kind: 'plan' }): Cost {
  const names = new Map(plan.tasks.flatMap((task) => (task.kind === 'draw' ? [[task.ingredient, task.name]] : [])));
  const lines = taken.map((each): CostLine => {
    const pricePerKg = papersOf(plan, each.ingredient, each.lot)?.pricePerKg ?? null;
    const priced = (mass: Mass) => (pricePerKg === null ? 0n : (costOf(mass, pricePerKg) ?? 0n));
    const name = names.get(each.ingredient) ?? each.ingredient;
    return { ...each, name, pricePerKg, cost: priced(each.taken), wasteCost: priced(each.waste) };
  });
  return {
    currency: plan.currency ?? null,
    bars: barsAmong(plan, among),
    among: among.kind,
    lines,
    material: lines.reduce((sum, { cost }) => sum + cost, 0n),
    waste: lines.reduce((sum, { wasteCost }) => sum + wasteCost, 0n),
    unpriced: lines.filter(({ pricePerKg, taken: of }) => pricePerKg === null && of > 0).map(lotName),
    kept: sumOf(taken.map((each) => minus(each.taken, each.waste))),
  };
}

function barsAmong(plan: Plan, among: CostAmong): number | null {
  if (among.kind === 'weighed') return among.bars;
  return among.kind === 'open' || among.kind === 'none' ? null : plan.bars;
}

/** What a plan will cost if every draw is on its target. */
export function plannedCost(plan: Plan): Cost {
  const lots = new Map<string, LotTaken>();
  for (const task of plan.tasks) {
    if (task.kind !== 'draw') continue;
    const { ingredient, lot, target } = task;
    const key = JSON.stringify([ingredient, lot]);
    const before = lots.get(key)?.taken ?? ZERO;
    lots.set(key, { ingredient, lot, taken: (before + target) as Mass, waste: ZERO });
  }
  return costFrom(plan, [...lots.values()]);
}

function lotName({ name, lot }: CostLine): string {
  return `${name}, lot ${lot}`;
}

/** Whether anything can be said of it at all. */
export function hasPrices({ lines }: Cost): boolean {
  return lines.some(({ pricePerKg }) => pricePerKg !== null);
}

/** `24.67 EUR`. */
export function moneyWords(money: Money, { currency }: Pick<Cost, 'currency'>, among = 1): string {
  return `${printMoney(money, { among })}${currency === null ? '' : ` ${currency}`}`;
}

const MICROGRAMS_IN_KG = 1_000_000_000n;

/** What a kilogram of it costs, `12.03 EUR a kilogram`: the price of a stock that is made. null where nothing is left of it. */
function perKilogram(cost: Cost): string | null {
  if (cost.kept <= 0) return null;
  return `${moneyWords(cost.material * MICROGRAMS_IN_KG, cost, cost.kept)} a kilogram`;
}

/** One line: all, each bar where it is known of how many (or each kilogram where there are none), and what of it is waste. The text of names in it is not cleaned. */
export function costInWords(cost: Cost): string {
  const { bars, among, material, waste, unpriced } = cost;
  const of = {
    plan: '',
    planned: ` of the ${bars} planned`,
    weighed: ` of the ${bars} weighed off`,
    open: '',
    none: '',
  }[among];
  const perBar = bars === null ? null : `${moneyWords(material, cost, bars)} a bar${of}`;
  const each = among === 'open' || among === 'none' ? null : (perBar ?? perKilogram(cost));
  const wasted = waste === 0n ? '' : `; ${moneyWords(waste, cost)} of it waste`;
  const without = unpriced.length === 0 ? '' : ` (without a price: ${unpriced.join('; ')})`;
  const sofar = among === 'open' ? ' so far' : '';
  return `Material ${moneyWords(material, cost)}${sofar}${each === null ? '' : `, ${each}`}${wasted}${without}`;
}

/** The cost as plain data for JSON: amounts of money are strings. null when no price is known. */
export function costData(cost: Cost) {
  if (!hasPrices(cost)) return null;
  const { currency, bars, lines, material, waste, unpriced } = cost;
  return {
    currency,
    material: printMoney(material),
    per_bar: bars === null ? null : printMoney(material, { among: bars }),
    waste: printMoney(waste),
    unpriced,
    lots: lines.map(({ ingredient, lot, pricePerKg, cost: of, wasteCost }) => ({
      ingredient,
      lot,
      price_per_kg: pricePerKg,
      cost: printMoney(of, { decimals: 4 }),
      waste: printMoney(wasteCost, { decimals: 4 }),
    })),
  };
}
