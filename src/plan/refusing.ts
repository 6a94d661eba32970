/** Refusals: what is wrong with a draw, and the nearest thing that works, in numbers. */
import { wholeOf } from '../formula/checkFormula.ts';
import type { Formula, FormulaDraw } from '../formula/model.ts';
import { lesser, type Mass, mass } from '../mass/mass.ts';
import type { Ingredient, Vessel } from '../workshop/model.ts';
import { isOfSize, leastWeight, type Obstacle, vesselOf } from './feasible.ts';
import { type Fix, sayFix } from './fix.ts';
import { grams, scaledBatch } from './inWords.ts';
import type { Refusal } from './model.ts';
import { isRelative, margins, relativeTolerance } from './plannedBand.ts';
import { BAND_PARTS, bandToShare, stockSolution } from './stockSolution.ts';

/** A draw that is refused, with what its refusal refers to. */
export interface Refused {
  /** Draw id. */
  readonly id: string;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  readonly target: Mass;
  readonly batch: Mass;
  readonly formula: Formula;
  /** Where it ends up, by the vessel's id. */
  readonly vessel: string;
}

type Weak = Extract<Obstacle, { kind: 'weak' }>;

/** A wider band is only offered where it stays a band. */
const WIDEST_OFFER = 0.1;

/** What helps where a scale is not good enough: more of it, or a stock solution, or a wider band. */
function strengthen(refused: Refused, { scale, halfBand }: Weak): Fix {
  const { target, batch, draw } = refused;
  const share = halfBand / target;
  if (!isRelative(target, draw.tolerance)) return { band: { half: halfBand, share: null }, others: [], on: scale.id };

  const { under, over } = margins(target, draw.tolerance);
  // A gram more, lest the rounding of the larger batch's target ends below the limit.
  const size = scaledBatch(mass(batch + 1_000_000), halfBand, lesser(under, over));
  const stock = stockSolution(
    target,
    leastWeight(scale, BAND_PARTS.draw * bandToShare(relativeTolerance(target, draw.tolerance))),
  );
  const solution = stock ? [`a ${stock.strength} stock solution: ${grams(stock.needed)} of it`] : [];
  const isBand = share <= WIDEST_OFFER;
  return {
    size: size && { bound: 'least', mass: size },
    ...(isBand ? { band: { half: halfBand, share } } : {}),
    others: isBand ? [] : solution,
    on: scale.id,
    last: 'a finer scale',
  };
}

function fixOf(refused: Refused, obstacles: readonly Obstacle[]): Fix {
  const weak = obstacles
    .filter((obstacle): obstacle is Weak => obstacle.kind === 'weak')
    .sort((a, b) => a.halfBand - b.halfBand)[0];
  if (weak) return strengthen(refused, weak);
  const full = obstacles.filter(isOfSize).sort((a, b) => b.fits / b.needs - a.fits / a.needs)[0];
  if (!full) return { others: [] };
  return { ...smallerBatch(refused.batch, full.fits, full.needs, full.instead), vessel: refused.vessel };
}

function smallerBatch(batch: Mass, fits: number, needs: number, vessel: string): Fix {
  const size = scaledBatch(batch, fits, needs);
  return { size: size && { bound: 'most', mass: size }, others: [vessel] };
}

/** A draw that no scale and way can do. */
export function refuseObstacles(refused: Refused, obstacles: readonly Obstacle[]): Refusal {
  // "There is no jar" says nothing when the scales themselves are the trouble.
  const telling = obstacles.filter(({ kind }) => kind !== 'none');
  const whys = [...new Set((telling.length > 0 ? telling : obstacles).map(({ why }) => why))];
  return {
    where: refused.id,
    why: `${refused.ingredient.name}, ${grams(refused.target)}: ${whys.join('; ')}.`,
    ...fixed(fixOf(refused, obstacles), refused.formula),
    ...worseWithMore(obstacles),
  };
}

/** Whether no obstacle is of the kind that more of the ingredient would overcome. */
export function worseWithMore(obstacles: readonly Obstacle[]): Pick<Refusal, 'worseWithMore'> {
  return obstacles.every(({ kind }) => kind !== 'weak') ? { worseWithMore: true } : {};
}

/** A vessel that overflows in the course of the work. */
export function refuseOverflow(
  where: string,
  vessel: Vessel,
  ml: number,
  usableMl: number,
  batch: Mass,
  formula: Formula,
): Refusal {
  return {
    where,
    why: `${vessel.name} holds ${usableMl} ml, and ${Math.ceil(ml)} ml would be in it.`,
    ...fixed({ ...smallerBatch(batch, usableMl, ml, vesselOf(ml)), vessel: vessel.id }, formula),
    overfull: vessel.id,
  };
}

/** A draw whose band would accept nothing at all as enough. */
export function refuseBottomless({ id, ingredient, target, draw }: Refused): Refusal {
  const { under } = margins(target, draw.tolerance);
  return {
    where: id,
    why: `${ingredient.name}: a band that goes ${grams(under)} under a target of ${grams(target)} reaches down to nothing.`,
    instead: 'A narrower band in the formula, or a larger batch.',
  };
}

/** A draw for which the lots that are in date do not suffice. */
export function refuseShort(refused: Refused, short: Mass, expired: readonly string[]): Refusal {
  const { ingredient, target, formula, id } = refused;
  const blocked = ingredient.lots.flatMap(({ id: code, blocked }) => (blocked === undefined ? [] : [code]));
  const left = [
    ...(expired.length === 0 ? [] : [`expired: ${expired.join(', ')}`]),
    ...(blocked.length === 0 ? [] : [`blocked: ${blocked.join(', ')}`]),
  ];
  const out = left.length === 0 ? '' : ` (${left.join('; ')})`;
  return {
    where: id,
    why: `${ingredient.name}: ${grams(target)} are needed, and the lots in date are ${grams(short)} short${out}.`,
    ...fixed(largestBatch(refused, short), formula),
  };
}

function largestBatch({ batch, formula, ingredient, target }: Refused, short: Mass): Fix {
  // The same ingredient may be drawn more than once: what is in stock serves all its draws.
  const share = formula.phases
    .flatMap(({ work }) => work)
    .reduce((sum, item) => sum + (item.kind === 'draw' && item.ingredient === ingredient.id ? item.share : 0), 0);
  const whole = wholeOf(formula);
  const stocked = mass(Math.floor((batch / whole) * share) - short);
  const size = stocked > 0 && target > 0 ? scaledBatch(stocked, whole, share) : undefined;
  return size === undefined
    ? { others: ['a lot that is in date (`bismar lot receive`)'] }
    : { size: { bound: 'most', mass: size }, others: ['another lot'] };
}

/** What helps, as it is estimated: `makePlan` tries it. */
function fixed(fix: Fix, formula: Formula): Pick<Refusal, 'instead'> & { readonly fix: Fix } {
  return { instead: sayFix(fix, formula), fix };
}

/** A draw that stock would cover, but only in pieces that can't be weighed. */
export function refuseCrumbs({ id, ingredient, target }: Refused): Refusal {
  return {
    where: id,
    why: `${ingredient.name}: no lot holds ${grams(target)}, and shared between lots a part would be too small to weigh.`,
    instead: 'A lot that holds it all, or a wider band.',
  };
}
