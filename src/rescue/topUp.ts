/** Plans a top-up: more of what is in, judged by the band of the whole; or says why it can't be weighed. */
import type { FormulaDraw, Tolerance } from '../formula/model.ts';
import { lesser, type Mass, mass, minus, plus, sumOf } from '../mass/mass.ts';
import { type Choice, type Chosen, chooseWay } from '../plan/chooseWay.ts';
import { contentOf, filled, volumeOf } from '../plan/contents.ts';
import type { Obstacle } from '../plan/feasible.ts';
import { grams } from '../plan/inWords.ts';
import { type Allotted, allotLots, type Piece } from '../plan/lots.ts';
import type { PlannedDraw, Refusal } from '../plan/model.ts';
import { stockOf, takeFromStock } from '../plan/planDraw.ts';
import { leastPart, margins } from '../plan/plannedBand.ts';
import { worseWithMore } from '../plan/refusing.ts';
import { rememberScale, rememberVessel, type Walk, watchFilling } from '../plan/walk.ts';
import type { Vessel } from '../workshop/model.ts';
import type { Line } from './lines.ts';

export interface ToTopUp {
  readonly line: Line;
  /** Of the whole, in the larger batch. */
  readonly target: Mass;
  /** Where its content is. */
  readonly vessel: Vessel;
  /** Its whole is in the band already: it is topped up only if that can be done well. */
  readonly mayStay: boolean;
  /** What has to be minded as it goes in late. */
  readonly late: () => { readonly cautions: readonly string[]; readonly note: string };
}

export type ToppedUp =
  | { readonly ok: true; readonly draws: readonly PlannedDraw[]; readonly part: (index: number) => PlannedDraw['part'] }
  | { readonly ok: false; readonly refusal: Refusal };

/**
 * The tolerance of a top-up: what the whole may be off, as masses. One that is not needed for the band must be good to
 * half of itself, else it is not worth the spoon.
 */
function toleranceOf(target: Mass, more: Mass, { tolerance }: FormulaDraw, mayStay: boolean): Tolerance {
  const { under, over } = margins(target, tolerance);
  const least = mayStay ? lesser(under, mass(Math.floor(more / 2))) : under;
  return { under: { mass: least }, over: { mass: over }, floor: undefined };
}

/** As the formula prescribes; where that can't be, on any scale and in any way. */
function wayFor(walk: Walk, to: ToTopUp, more: Mass, pieces: readonly Piece[]): Chosen {
  const { line, target, vessel, mayStay } = to;
  const tolerance = toleranceOf(target, more, line.draw, mayStay);
  const draw: FormulaDraw = { ...line.draw, tolerance };
  const place = {
    target: more,
    pieces,
    weighedBefore: line.parts.length,
    density: line.ingredient.density,
    vessel,
    inVessel: contentOf(walk.contents, vessel.id).most,
    cups: walk.cups,
    workshop: walk.workshop,
  };
  const asked = chooseWay({ ...place, draw });
  if (asked.ok || (draw.way === undefined && draw.scale === undefined && draw.cup === undefined)) return asked;
  const free = chooseWay({ ...place, draw: { ...draw, way: undefined, scale: undefined, cup: undefined } });
  return free.ok ? free : { ...free, obstacles: [...asked.obstacles, ...free.obstacles] };
}

function unweighable({ line }: ToTopUp, more: Mass, obstacles: readonly Obstacle[]): Refusal {
  const telling = obstacles.filter(({ kind }) => kind !== 'none');
  const whys = [...new Set((telling.length > 0 ? telling : obstacles).map(({ why }) => why))];
  const why = `${line.ingredient.name}: ${grams(more)} more can't be weighed; ${whys.join('; ')}.`;
  return { where: line.id, why, instead: null, ...worseWithMore(obstacles) };
}

function unstocked({ line }: ToTopUp, more: Mass, allotted: Allotted & { ok: false }): Refusal {
  const why =
    allotted.kind === 'short'
      ? `${line.ingredient.name}: ${grams(more)} more are needed, and the lots in date are ${grams(allotted.short)} short.`
      : `${line.ingredient.name}: no lot holds ${grams(more)} more, and shared between lots a part would be too small to weigh.`;
  return { where: line.id, why, instead: allotted.kind === 'short' ? 'Another lot.' : null };
}

/** Ids of new parts: the next free numbers after those that are in. */
function freeIds({ id, parts }: Line, count: number): string[] {
  const taken = parts.map(({ draw }) => Number(draw.id.split('.')[1] ?? 1));
  const next = Math.max(...taken) + 1;
  return Array.from({ length: count }, (_, index) => `${id}.${next + index}`);
}

/** Plans it and, when it can be done, takes it from stock and fills it in. */
export function topUp(walk: Walk, to: ToTopUp): ToppedUp {
  const { line, target, vessel } = to;
  const { ingredient, draw } = line;
  const more = minus(target, line.amount);
  const { under, over } = margins(more, toleranceOf(target, more, draw, to.mayStay));
  if (more <= 0 || lesser(under, over) <= 0) {
    const why = `${ingredient.name}: no scale can judge so little, ${grams(line.amount)} being in of ${grams(target)}.`;
    return { ok: false, refusal: { where: line.id, why, instead: null } };
  }
  const allotted = allotLots(stockOf(walk, ingredient), more, leastPart(target, draw), walk.today);
  if (!allotted.ok) return { ok: false, refusal: unstocked(to, more, allotted) };
  const { pieces } = allotted;
  const chosen = wayFor(walk, to, more, pieces);
  if (!chosen.ok) return { ok: false, refusal: unweighable(to, more, chosen.obstacles) };

  takeFromStock(walk, ingredient, pieces);
  const most = mass(more + margins(target, draw.tolerance).over);
  walk.contents = filled(walk.contents, vessel.id, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
  watchFilling(walk, vessel.id, line.id);
  rememberScale(walk, chosen.choice.scale);
  for (const used of [vessel, ...chosen.choice.on]) rememberVessel(walk, used);
  return planned(to, pieces, chosen.choice);
}

function planned(to: ToTopUp, pieces: readonly Piece[], { way, scale, on, fit, why }: Choice): ToppedUp {
  const { line, target, vessel } = to;
  const { ingredient, draw, parts } = line;
  const { judged } = fit;
  const whole = {
    group: line.id,
    of: parts.length + pieces.length,
    target,
    low: plus(line.amount, judged.low),
    high: plus(line.amount, judged.high),
  };
  const { cautions, note } = to.late();
  const ids = freeIds(line, pieces.length);
  const draws = pieces.map(
    ({ lot, amount, onHand }, index): PlannedDraw => ({
      kind: 'draw',
      id: ids[index] ?? line.id,
      phase: line.phase.id,
      ingredient: ingredient.id,
      name: ingredient.name,
      inci: ingredient.inci,
      vessel: vessel.id,
      way,
      scale: scale.id,
      on: on[index]?.id ?? vessel.id,
      lot: lot.id,
      lotOnHand: onHand,
      target: amount,
      low: fit.parts[index]?.low ?? judged.low,
      high: fit.parts[index]?.high ?? judged.high,
      over: draw.over,
      uncertainty: judged.uncertainty,
      guard: judged.guard,
      part: { ...whole, index: parts.length + index + 1 },
      why: `tops up the ${grams(sumOf(parts.map((part) => part.amount)))} that are in; ${why}`,
      cautions: [...ingredient.cautions, ...cautions],
      note,
    }),
  );
  return { ok: true, draws, part: (index) => ({ ...whole, index }) };
}
