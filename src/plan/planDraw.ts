/** Plans one draw: its lots, its scale and way, its band; or says why it can't be weighed. */
import type { FormulaDraw, Phase } from '../formula/model.ts';
import { type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { Ingredient, Vessel } from '../workshop/model.ts';
import { type Choice, chooseWay } from './chooseWay.ts';
import { contentOf, filled, volumeOf } from './contents.ts';
import { allotLots, byExpiry, isExpired, isUsable, type Piece, type Stock } from './lots.ts';
import type { PlannedDraw } from './model.ts';
import { noteDraw } from './planNotes.ts';
import { margins } from './plannedBand.ts';
import { type Refused, refuseBottomless, refuseCrumbs, refuseObstacles, refuseShort } from './refusing.ts';
import { rememberScale, rememberVessel, type Walk, watchFilling } from './walk.ts';

/** A draw with its place in the work. */
export interface DrawAt {
  readonly id: string;
  readonly phase: Phase;
  readonly vessel: Vessel;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  readonly target: Mass;
}

/** The lots of an ingredient with what earlier draws left of them. */
export function stockOf({ taken }: Walk, ingredient: Ingredient): Stock[] {
  return ingredient.lots.map((lot) => {
    return { lot, onHand: minus(lot.onHand, taken.get(`${ingredient.id} ${lot.id}`) ?? ZERO) };
  });
}

export function takeFromStock({ taken }: Walk, ingredient: Ingredient, pieces: readonly Piece[]): void {
  for (const { lot, amount } of pieces) {
    const key = `${ingredient.id} ${lot.id}`;
    taken.set(key, mass((taken.get(key) ?? 0) + amount));
  }
}

/** Lots in date that are not drawn from, for when a planned one ends early. */
function spareLots(
  stock: readonly Stock[],
  pieces: readonly Piece[],
  today: string,
): NonNullable<PlannedDraw['otherLots']> {
  return stock
    .filter(({ lot, onHand }) => onHand > 0 && isUsable(lot, today) && !pieces.some((piece) => piece.lot === lot))
    .sort((a, b) => byExpiry(a.lot, b.lot))
    .map(({ lot, onHand }) => ({ id: lot.id, onHand }));
}

function plannedDraws(
  at: DrawAt,
  pieces: readonly Piece[],
  { way, scale, on, fit, why }: Choice,
  others: NonNullable<PlannedDraw['otherLots']>,
): PlannedDraw[] {
  const { id, phase, vessel, draw, ingredient, target } = at;
  const { judged, parts } = fit;
  return pieces.map(({ lot, onHand }, index): PlannedDraw => {
    const part = parts[index];
    const several = pieces.length > 1;
    return {
      kind: 'draw',
      id: several ? `${id}.${index + 1}` : id,
      phase: phase.id,
      ingredient: ingredient.id,
      name: ingredient.name,
      inci: ingredient.inci,
      vessel: vessel.id,
      way,
      scale: scale.id,
      on: on[index]?.id ?? vessel.id,
      lot: lot.id,
      lotOnHand: onHand,
      target: part?.target ?? target,
      low: part?.low ?? judged.low,
      high: part?.high ?? judged.high,
      over: draw.over,
      uncertainty: judged.uncertainty,
      guard: judged.guard,
      part: several
        ? { group: id, index: index + 1, of: pieces.length, target, low: judged.low, high: judged.high }
        : null,
      why,
      cautions: ingredient.cautions,
      note: draw.note ?? null,
      ...(draw.witness ? { witness: true } : {}),
      ...(way === 'subtract' || others.length === 0 ? {} : { otherLots: others }),
    };
  });
}

/** The least that is worth a part of its own: with less, its band would reach down to nothing. */
export function leastPart(target: Mass, draw: FormulaDraw): Mass {
  const { under, over } = margins(target, draw.tolerance);
  return mass(2 * Math.max(under, over));
}

export function planDraw(walk: Walk, at: DrawAt): void {
  const { workshop, today, cups } = walk;
  const { draw, ingredient, target, vessel, id } = at;
  const refused: Refused = { id, draw, ingredient, target, batch: walk.batch, formula: walk.formula };
  const before = contentOf(walk.contents, vessel.id);
  const { under, over } = margins(target, draw.tolerance);
  if (under >= target) {
    walk.refusals.push(refuseBottomless(refused));
    return;
  }
  const most = mass(target + over);
  walk.contents = filled(walk.contents, vessel.id, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
  watchFilling(walk, vessel.id, id);

  const stock = stockOf(walk, ingredient);
  const expired = stock.filter(({ lot }) => isExpired(lot, today)).map(({ lot }) => lot);
  const allotted = allotLots(stock, target, leastPart(target, draw), today);
  // Without enough in stock the weighing is judged all the same, as if one lot held it: all refusals at once.
  const pieces = allotted.ok ? allotted.pieces : [];
  if (!allotted.ok && allotted.kind === 'short') {
    walk.refusals.push(
      refuseShort(
        refused,
        allotted.short,
        expired.map(({ id: code }) => code),
      ),
    );
  }
  if (!allotted.ok && allotted.kind === 'crumbs') walk.refusals.push(refuseCrumbs(refused));
  const stand: Piece[] = ingredient.lots.slice(0, 1).map((lot) => ({ lot, amount: target, onHand: target }));
  takeFromStock(walk, ingredient, allotted.ok ? pieces : []);

  const chosen = chooseWay({
    draw,
    target,
    pieces: allotted.ok ? pieces : stand,
    density: ingredient.density,
    vessel,
    inVessel: before.most,
    cups,
    workshop,
  });
  if (!chosen.ok) walk.refusals.push(refuseObstacles(refused, chosen.obstacles));
  if (!chosen.ok || !allotted.ok) return;

  walk.tasks.push(...plannedDraws(at, pieces, chosen.choice, spareLots(stock, pieces, today)));
  walk.notes.push(
    ...noteDraw({ ingredient, pieces, expired, passedOver: allotted.passedOver, choice: chosen.choice, today }),
  );
  rememberScale(walk, chosen.choice.scale);
  for (const used of [vessel, ...chosen.choice.on]) rememberVessel(walk, used);
}
