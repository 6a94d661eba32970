/** Refusals: what is wrong with a draw, and the nearest thing that works, in numbers. */
import type { Formula, FormulaDraw } from '../formula/model.ts';
import { lesser, type Mass, mass } from '../mass/mass.ts';
import type { Ingredient, Vessel } from '../workshop/model.ts';
import type { Obstacle } from './feasible.ts';
import { batchOf, grams, percentOf, scaledBatch } from './inWords.ts';
import type { Refusal } from './model.ts';
import { margins } from './plannedBand.ts';
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

type Unweighable = Extract<Obstacle, { kind: 'small' | 'coarse' }>;
type Full = Extract<Obstacle, { kind: 'load' | 'room' }>;

/** By how much the batch would have to grow for this obstacle to go away. */
function growth(obstacle: Unweighable, { target, draw }: Refused): number {
  if (obstacle.kind === 'small') return obstacle.least / target;
  const { under, over } = margins(target, draw.tolerance);
  return obstacle.halfBand / lesser(under, over);
}

function weighable(refused: Refused, obstacle: Unweighable): string {
  const { target, batch, formula, draw } = refused;
  // A gram more, lest the rounding of the larger batch's target ends below the limit.
  const size = scaledBatch(mass(batch + 1_000_000), growth(obstacle, refused), 1);
  const scale = `the ${obstacle.scale.id} scale`;
  const ways = size === undefined ? [] : [`a batch of ${batchOf(size, 'least', formula)}`];
  if (obstacle.kind === 'small') {
    const stock = stockSolution(target, obstacle.least);
    if (stock) ways.push(`a ${stock.strength} stock solution: ${grams(stock.needed)} of it`);
  } else if ('ppm' in draw.tolerance.under || 'ppm' in draw.tolerance.over) {
    ways.push(`a band of ${percentOf(obstacle.halfBand / target)} (${grams(obstacle.halfBand)}) either way`);
  } else {
    return sentence(`a band of ${grams(obstacle.halfBand)} either way on ${scale}`);
  }
  return ways.length === 0 ? `A finer scale than ${scale}.` : sentence(`${ways.join(', or ')} on ${scale}`);
}

function instead(refused: Refused, obstacles: readonly Obstacle[]): string | null {
  const unweighable = obstacles
    .filter((obstacle): obstacle is Unweighable => obstacle.kind === 'small' || obstacle.kind === 'coarse')
    .sort((a, b) => growth(a, refused) - growth(b, refused))[0];
  if (unweighable) return weighable(refused, unweighable);
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
  };
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

/** A draw for which the lots that are in date do not suffice. */
export function refuseShort(refused: Refused, short: Mass, expired: readonly string[]): Refusal {
  const { ingredient, target, formula, id } = refused;
  const out = expired.length === 0 ? '' : ` (expired: ${expired.join(', ')})`;
  return {
    where: id,
    why: `${ingredient.name}: ${grams(target)} are needed, and the lots in date are ${grams(short)} short${out}.`,
    instead: sentence(largestBatch(refused, short, formula)),
  };
}

function largestBatch({ batch, formula, ingredient, target }: Refused, short: Mass, of: Formula): string {
  // The same ingredient may be drawn more than once: what is in stock serves all its draws.
  const share = formula.phases
    .flatMap(({ work }) => work)
    .reduce((sum, item) => sum + (item.kind === 'draw' && item.ingredient === ingredient.id ? item.share : 0), 0);
  const stocked = mass(Math.floor((batch / 1_000_000) * share) - short);
  const size = stocked > 0 && target > 0 ? scaledBatch(stocked, 1_000_000, share) : undefined;
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
