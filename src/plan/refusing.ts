/** Refusals: what is wrong with a draw, and the nearest thing that works, in numbers. */
import { wholeOf } from '../formula/checkFormula.ts';
import type { Formula, FormulaDraw } from '../formula/model.ts';
import { lesser, type Mass, mass } from '../mass/mass.ts';
import type { Ingredient, Vessel } from '../workshop/model.ts';
import { leastWeight, type Obstacle } from './feasible.ts';
import { batchOf, grams, percentOf, scaledBatch } from './inWords.ts';
import type { Refusal } from './model.ts';
import { isRelative, margins, relativeTolerance } from './plannedBand.ts';
import { stockSolution } from './stockSolution.ts';

/** A draw that is refused, with what its refusal refers to. */
export interface Refused {
  /** Draw id. */
  readonly id: string;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  readonly target: Mass;
  readonly batch: Mass;
  readonly formula: Formula;
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

type Weak = Extract<Obstacle, { kind: 'weak' }>;
type Full = Extract<Obstacle, { kind: 'load' | 'room' }>;

/** A wider band is only offered where it stays a band. */
const WIDEST_OFFER = 0.1;

/** What helps where a scale is not good enough: more of it, or a stock solution, or a wider band. */
function strengthen(refused: Refused, { scale, halfBand }: Weak): string {
  const { target, batch, formula, draw } = refused;
  const on = `on the ${scale.id} scale`;
  const share = halfBand / target;
  const wider = `a band of ${share <= WIDEST_OFFER ? `${percentOf(share)} (${grams(halfBand)})` : grams(halfBand)} either way`;
  if (!isRelative(target, draw.tolerance)) return sentence(`${wider} ${on}`);

  const { under, over } = margins(target, draw.tolerance);
  // A gram more, lest the rounding of the larger batch's target ends below the limit.
  const size = scaledBatch(mass(batch + 1_000_000), halfBand, lesser(under, over));
  const ways = size === undefined ? [] : [`a batch of ${batchOf(size, 'least', formula)}`];
  const stock = stockSolution(target, leastWeight(scale, relativeTolerance(target, draw.tolerance)));
  if (share <= WIDEST_OFFER) ways.push(wider);
  else if (stock) ways.push(`a ${stock.strength} stock solution: ${grams(stock.needed)} of it`);
  return sentence(`${ways.length === 0 ? 'a finer scale' : ways.join(', or ')} ${on}`);
}

function instead(refused: Refused, obstacles: readonly Obstacle[]): string | null {
  const weak = obstacles
    .filter((obstacle): obstacle is Weak => obstacle.kind === 'weak')
    .sort((a, b) => a.halfBand - b.halfBand)[0];
  if (weak) return strengthen(refused, weak);
  const full = obstacles
    .filter((obstacle): obstacle is Full => obstacle.kind === 'load' || obstacle.kind === 'room')
    .sort((a, b) => b.fits / b.needs - a.fits / a.needs)[0];
  if (!full) return null;
  const vessel = full.kind === 'load' ? 'a lighter vessel or a larger scale' : 'a larger vessel';
  return smallerBatch(refused.batch, full.fits, full.needs, refused.formula, vessel);
}

function smallerBatch(batch: Mass, fits: number, needs: number, formula: Formula, vessel: string): string {
  const size = scaledBatch(batch, fits, needs);
  return sentence(size === undefined ? vessel : `a batch of at most ${batchOf(size, 'most', formula)}, or ${vessel}`);
}

/** A draw that no scale and way can do. */
export function refuseObstacles(refused: Refused, obstacles: readonly Obstacle[]): Refusal {
  // "There is no jar" says nothing when the scales themselves are the trouble.
  const telling = obstacles.filter(({ kind }) => kind !== 'none');
  const whys = [...new Set((telling.length > 0 ? telling : obstacles).map(({ why }) => why))];
  return {
    where: refused.id,
    why: `${refused.ingredient.name}, ${grams(refused.target)}: ${whys.join('; ')}.`,
    instead: instead(refused, obstacles),
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
    instead: smallerBatch(batch, usableMl, ml, formula, 'a larger vessel'),
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
    instead: sentence(largestBatch(refused, short, formula)),
  };
}

function largestBatch({ batch, formula, ingredient, target }: Refused, short: Mass, of: Formula): string {
  // The same ingredient may be drawn more than once: what is in stock serves all its draws.
  const whole = wholeOf(of);
  const share = formula.phases
    .flatMap(({ work }) => work)
    .reduce((sum, item) => sum + (item.kind === 'draw' && item.ingredient === ingredient.id ? item.share : 0), 0);
  const stocked = mass(Math.floor((batch / whole) * share) - short);
  const size = stocked > 0 && target > 0 ? scaledBatch(stocked, whole, share) : undefined;
  return size === undefined
    ? 'enter a lot that is in date in the workshop file'
    : `a batch of at most ${batchOf(size, 'most', of)}, or another lot`;
}

/** A draw that stock would cover, but only in pieces that can't be weighed. */
export function refuseCrumbs({ id, ingredient, target }: Refused): Refusal {
  return {
    where: id,
    why: `${ingredient.name}: no lot holds ${grams(target)}, and shared between lots a part would be too small to weigh.`,
    instead: 'A lot that holds it all, or a wider band.',
  };
}
