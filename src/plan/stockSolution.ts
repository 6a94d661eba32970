/**
 * The way out for an amount too small to weigh: dissolve or grind a weighable amount into a known mass, and weigh
 * some of that. Stock needed = wanted / strength (by weight); a usual step in pharmacy and dyeing.
 */
import { type Mass, mass } from '../mass/mass.ts';

/** Strengths that people make, in parts of stock for one of the ingredient: 10 %, 5 %, 2 % ... 0.1 %. */
export const DILUTIONS = [10, 20, 50, 100, 200, 500, 1000] as const;
/** So many times the smallest weight, so that a draw of the stock is no strain. */
export const COMFORT = 2;

/**
 * How the band of the draw is shared out over the three weighings that it then hangs on, as parts of it: the ingredient
 * and the carrier as the stock is made, and the draw of the stock. For a band t of at most 20 % the worst of all three
 * together stays inside it: (1 + 0.6 t)(1 + 0.25 t) / (1 - 0.1 t) <= 1 + t, and
 * (1 - 0.6 t)(1 - 0.25 t) / (1 + 0.1 t) >= 1 - t. A wider band is taken as 20 %.
 */
export const BAND_PARTS = { ingredient: 0.6, carrier: 0.1, draw: 0.25 } as const;
const WIDEST = 0.2;

/** The band that is shared out, as a share of the target. */
export function bandToShare(relative: number): number {
  return Math.min(relative, WIDEST);
}

/** `1 %`, `0.5 %`. */
export function strengthOf(dilution: number): string {
  return `${100 / dilution} %`;
}

export interface StockSolution {
  /** `1 %`. */
  readonly strength: string;
  /** How much of the stock holds the wanted amount. */
  readonly needed: Mass;
}

/**
 * The strongest stock (least carrier) of which the needed amount is weighed with ease.
 * @param smallest the smallest weight of the scale that is good enough for a draw of the stock
 */
export function stockSolution(wanted: Mass, smallest: Mass): StockSolution | undefined {
  const dilution = DILUTIONS.find((parts) => wanted * parts >= smallest * COMFORT);
  return dilution === undefined ? undefined : { strength: strengthOf(dilution), needed: mass(wanted * dilution) };
}
