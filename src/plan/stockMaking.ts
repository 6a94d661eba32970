/** The making of a stock solution as a small batch of its own: a round size, the smallest vessel that has room, its steps. */
import type { Formula, FormulaDraw, FormulaStep, Tolerance, Way } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { Ingredient, Vessel, Workshop } from '../workshop/model.ts';
import type { Plan } from './model.ts';
import { considerPlan } from './plan.ts';
import { BAND_PARTS } from './stockSolution.ts';

/** All shares together, parts per million. */
export const WHOLE = 1_000_000;

/** A stock of one strength that is tried. */
export interface Trying {
  readonly ingredient: Ingredient;
  readonly carrier: Ingredient;
  readonly draw: FormulaDraw;
  readonly held: number;
  readonly dilution: number;
  readonly relative: number;
  readonly target: Mass;
}

/** A band of so much either way. */
export function either(share: number): Tolerance {
  const side = { ppm: Math.floor(share * WHOLE) };
  return { under: side, over: side, floor: undefined };
}

/** Batches that people make: 10, 20, 50, 100 g ... 20 kg, in grams. */
const NICE = [10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000];
/** So much more is made than one batch needs: some stays in the jar. */
const SPARE = 1.2;

/** The smallest round batch of the stock that can be weighed, in the smallest vessel that has room. */
export function planMaking(
  workshop: Workshop,
  today: string,
  trying: Trying,
  stock: Ingredient,
  needed: Mass,
): { readonly making: Formula; readonly makingPlan: Plan } | undefined {
  const jars = new Set([...workshop.ingredients.values()].flatMap(({ lots }) => lots.map(({ jar }) => jar)));
  const vessels = [...workshop.vessels.values()]
    .filter(({ id, usableMl }) => usableMl !== undefined && !jars.has(id))
    .sort((a, b) => (a.usableMl ?? 0) - (b.usableMl ?? 0));
  for (const size of NICE.map((each) => mass(each * 1_000_000))) {
    if (size < needed * SPARE) continue;
    // The way that the formula prescribes for the ingredient, where it can be had.
    for (const way of new Set([trying.draw.way, undefined])) {
      for (const vessel of vessels) {
        const making = makingFormula(stock, vessel, size, way, trying);
        const { result } = considerPlan(workshop, making, undefined, today, false);
        if (result.ok) return { making, makingPlan: result.plan };
      }
    }
  }
  return undefined;
}

function makingFormula(
  { id, name }: Ingredient,
  vessel: Vessel,
  batch: Mass,
  way: Way | undefined,
  { ingredient, carrier, dilution, relative }: Trying,
): Formula {
  const ppm = WHOLE / dilution;
  const draw = (of: Ingredient, share: number, part: number): FormulaDraw => ({
    kind: 'draw',
    ingredient: of.id,
    share,
    tolerance: either(part * relative),
    over: 'ask',
    way: undefined,
    scale: undefined,
    cup: undefined,
    note: undefined,
  });
  const step = (kind: 'mix' | 'check', say: string): FormulaStep => ({
    kind: 'step',
    step: kind,
    say,
    vessel: undefined,
    into: undefined,
    forMs: undefined,
    times: undefined,
    until: undefined,
    cautions: [],
  });
  return {
    id,
    name,
    version: '1',
    bar: undefined,
    bars: undefined,
    batch,
    lossPpm: 0,
    phases: [
      {
        id: 'A',
        name: 'Stock',
        vessel: vessel.id,
        work: [
          draw(carrier, WHOLE - ppm, BAND_PARTS.carrier),
          { ...draw(ingredient, ppm, BAND_PARTS.ingredient), way },
          step('mix', 'Stir until nothing lies at the bottom and it looks the same all through.'),
          step('check', `Label the jar with ${name.slice(0, 100)}, this batch's name and its last day of use.`),
        ],
      },
    ],
    cautions: [],
  };
}
