/**
 * The way out for an amount too small to weigh: dissolve or grind a weighable amount into a known mass, and weigh
 * some of that. Stock needed = wanted / strength (by weight); a usual step in pharmacy and dyeing.
 */
import { type Mass, mass } from '../mass/mass.ts';

/** Strengths that people make, in parts of stock for one of the ingredient: 10 %, 1 %, 0.1 %. */
const DILUTIONS = [10, 100, 1000] as const;
/** So many times the smallest weight, so that a stock's tolerance is no strain. */
const COMFORT = 10;

export interface StockSolution {
  /** `1 %`. */
  readonly strength: string;
  /** How much of the stock holds the wanted amount. */
  readonly needed: Mass;
}

/**
 * The strongest stock (least carrier) of which the needed amount is weighed with ease.
 * @param smallest the smallest weight of the finest scale that is good enough for the draw
 */
export function stockSolution(wanted: Mass, smallest: Mass): StockSolution | undefined {
  for (const times of [COMFORT, 1]) {
    const dilution = DILUTIONS.find((parts) => wanted * parts >= smallest * times);
    if (dilution !== undefined) return { strength: `${100 / dilution} %`, needed: mass(wanted * dilution) };
  }
  return undefined;
}
