/**
 * A stock solution worked out: how strong, from how much of which carrier, made in what, and the formula that draws it.
 * Both the making and the new formula are planned; what can't be weighed is not proposed.
 */
import type { Formula, FormulaDraw, FormulaStep } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Ingredient, Workshop } from '../workshop/model.ts';
import { type BatchSize, sizeBatch } from './batchSize.ts';
import { leastWeight } from './feasible.ts';
import { grams } from './inWords.ts';
import type { Plan } from './model.ts';
import { considerPlan } from './plan.ts';
import { relativeTolerance } from './plannedBand.ts';
import { either, planMaking, type Trying, WHOLE } from './stockMaking.ts';
import { BAND_PARTS, bandToShare, COMFORT, DILUTIONS, strengthOf } from './stockSolution.ts';

export interface StockWish {
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly ingredient: string;
  /** What it is dissolved or ground into; undefined: the formula's water. */
  readonly carrier: string | undefined;
  readonly size: BatchSize;
  /** `YYYY-MM-DD` */
  readonly today: string;
}

export interface StockPlan {
  /** Parts of stock for one of the ingredient. */
  readonly dilution: number;
  readonly strength: string;
  /** Whose stock it is, and in what. */
  readonly ingredient: Ingredient;
  readonly carrier: Ingredient;
  /** As the workshop will know it; without lots. */
  readonly stock: Ingredient;
  /** Of the stock, for one batch. */
  readonly needed: Mass;
  /** The formula of the stock itself, with its usual batch. */
  readonly making: Formula;
  readonly makingPlan: Plan;
  /** The formula that draws the stock, and the carrier by so much less. */
  readonly using: Formula;
  readonly plan: Plan;
}

export type PlannedStock =
  | { readonly ok: true; readonly stock: StockPlan }
  | { readonly ok: false; readonly why: string };

const refuse = (why: string) => ({ ok: false, why }) as const;

function drawsOf({ phases }: Formula): FormulaDraw[] {
  return phases.flatMap(({ work }) => work.filter((item) => item.kind === 'draw'));
}

/** The formula's water, or what it says is water; the first. */
function waterOf({ ingredients }: Workshop, formula: Formula, besides: string): string | undefined {
  return drawsOf(formula)
    .map(({ ingredient }) => ingredient)
    .find((id) => {
      const known = ingredients.get(id);
      return id !== besides && (known?.role === 'water' || known?.inci.trim().toLowerCase() === 'aqua');
    });
}

/** Works a stock solution out, the strongest that can be weighed with ease; or says why there is none. */
export function planStock(wish: StockWish): PlannedStock {
  const { workshop, formula, ingredient: id, size } = wish;
  const ingredient = workshop.ingredients.get(id);
  const draws = drawsOf(formula).filter((draw) => draw.ingredient === id);
  const [draw] = draws;
  if (!ingredient || !draw) return refuse(`The formula draws no \`${id}\`.`);
  if (draws.length > 1) return refuse(`The formula draws ${ingredient.name} more than once: change it by hand.`);
  if ((formula.whole ?? WHOLE) !== WHOLE) {
    return refuse(
      'The shares of this formula (in parts, of a phase, or of active matter) are finer than a ten-thousandth of a percent, and a stock can be worked out only for coarser ones: write them as percent of the batch, with at most four decimals.',
    );
  }
  const carrierId = wish.carrier ?? waterOf(workshop, formula, id);
  const carrier = carrierId === undefined ? undefined : workshop.ingredients.get(carrierId);
  if (!carrier) return refuse('The formula has no water that the stock could be made with: say what with --carrier.');
  const carried = drawsOf(formula).filter((each) => each.ingredient === carrier.id);
  const held = carried.reduce((sum, { share }) => sum + share, 0);
  if (held === 0 || carrier.id === id) return refuse(`The formula draws no ${carrier.name} that could be taken off.`);

  const sized = sizeBatch(formula, size);
  if ('why' in sized) return refuse(sized.why);
  const target = mass(Math.round((sized.mass / WHOLE) * draw.share));
  const relative = bandToShare(relativeTolerance(target, draw.tolerance));
  let tooLittle: number | undefined;
  for (const dilution of DILUTIONS) {
    if (draw.share * (dilution - 1) > held) {
      tooLittle ??= dilution;
      break;
    }
    const tried = tryStock(wish, { ingredient, carrier, draw, held, dilution, relative, target });
    if (tried) return { ok: true, stock: tried };
  }
  const why = `${ingredient.name}, ${grams(target)}: no strength from 10 % to 0.1 % makes it weighable`;
  if (tooLittle === undefined) return refuse(`${why} with these scales and vessels.`);
  const short = mass(Math.ceil((sized.mass / WHOLE) * (draw.share * (tooLittle - 1) - held)));
  return refuse(
    `${why} with the ${carrier.name} that the formula has: ${strengthOf(tooLittle)} would already take ${grams(short)} more. Another carrier (--carrier), a larger batch, or a finer scale.`,
  );
}

function tryStock(wish: StockWish, trying: Trying): StockPlan | undefined {
  const { workshop, formula, size, today } = wish;
  const { ingredient, carrier, dilution, relative, target } = trying;
  const needed = mass(target * dilution);
  const stock = stockIngredient(workshop, trying);
  const using = usingFormula(formula, stock.id, trying);
  const lot = {
    id: 'to-be-made',
    onHand: mass(needed * 2),
    expires: undefined,
    pricePerKg: undefined,
    jar: undefined,
  };
  const withStock: Workshop = {
    ...workshop,
    ingredients: new Map(workshop.ingredients).set(stock.id, { ...stock, lots: [lot] }),
  };
  const { result } = considerPlan(withStock, using, size, today, false);
  if (!result.ok) return undefined;
  const drawn = result.plan.tasks.find((task) => task.kind === 'draw' && task.ingredient === stock.id);
  const scale = drawn?.kind === 'draw' ? workshop.scales.get(drawn.scale) : undefined;
  if (!scale || needed < COMFORT * leastWeight(scale, BAND_PARTS.draw * relative)) return undefined;
  const made = planMaking(workshop, today, trying, stock, needed);
  if (!made) return undefined;
  const strength = strengthOf(dilution);
  return { dilution, strength, ingredient, carrier, stock, needed, using, plan: result.plan, ...made };
}

function stockIngredient({ ingredients }: Workshop, { ingredient, carrier, dilution }: Trying): Ingredient {
  const wanted = `${ingredient.id.slice(0, 30)}-stock`;
  let id = wanted;
  for (let number = 2; ingredients.has(id); number++) id = `${wanted}-${number}`;
  const ppm = WHOLE / dilution;
  // Dust is what dissolving it ends.
  const hazards = ingredient.hazards?.filter((hazard) => hazard !== 'dust') ?? [];
  return {
    id,
    name: `${ingredient.name}, stock of ${strengthOf(dilution)}`.slice(0, 80),
    inci: `${carrier.inci}, ${ingredient.inci}`,
    madeOf: [
      { of: ingredient.id, ppm },
      { of: carrier.id, ppm: WHOLE - ppm },
    ],
    density: carrier.density,
    lots: [],
    ...(carrier.role === 'water' ? { role: 'water' as const } : {}),
    ...(hazards.length > 0 ? { hazards } : {}),
    cautions: ['Shake or stir before use, until nothing lies at the bottom.'],
  };
}

/** The carrier's draws give up what comes with the stock, in proportion, to a millionth of the batch exactly. */
function usingFormula(formula: Formula, stock: string, { carrier, draw, held, dilution, relative }: Trying): Formula {
  const taken = draw.share * (dilution - 1);
  const carried = drawsOf(formula).filter((each) => each.ingredient === carrier.id);
  const left = splitByShares(
    mass(held - taken),
    carried.map(({ share }) => share),
  );
  const shareNow = new Map<FormulaDraw | FormulaStep, number>(carried.map((each, index) => [each, left[index] ?? 0]));
  const instead: FormulaDraw = {
    ...draw,
    ingredient: stock,
    share: draw.share * dilution,
    tolerance: either(BAND_PARTS.draw * relative),
    way: undefined,
    scale: undefined,
    cup: undefined,
  };
  const changed = (item: FormulaDraw | FormulaStep): readonly (FormulaDraw | FormulaStep)[] => {
    if (item === draw) return [instead];
    const share = shareNow.get(item);
    if (share === undefined || item.kind === 'step') return [item];
    return share === 0 ? [] : [{ ...item, share }];
  };
  return {
    ...formula,
    phases: formula.phases.map((phase) => ({ ...phase, work: phase.work.flatMap(changed) })),
  };
}
