/** Plans one draw: its lots, its scale and way, its band; or says why it can't be weighed. */
import type { FormulaDraw, Phase } from '../formula/model.ts';
import { type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { Ingredient, Vessel } from '../workshop/model.ts';
import type { ToPlace } from './candidate.ts';
import { type Choice, chooseWay } from './chooseWay.ts';
import { contentOf, filled, volumeOf } from './contents.ts';
import { noteFullness } from './fullness.ts';
import { allotLots, byExpiry, isExpired, isUsable, type Piece, type Stock } from './lots.ts';
import type { PlannedDraw, Task } from './model.ts';
import { noteDraw } from './planNotes.ts';
import { leastPart, margins } from './plannedBand.ts';
import { cautionsOf } from './precautions.ts';
import { type Refused, refuseBottomless, refuseCrumbs, refuseObstacles, refuseShort } from './refusing.ts';
import { placesFor } from './several.ts';
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
  { way, scale, pieces, on, into, fit, why }: Choice,
  others: NonNullable<PlannedDraw['otherLots']>,
  notes: readonly (string | null)[],
): PlannedDraw[] {
  const { id, phase, vessel, draw, ingredient, target } = at;
  const { judged, parts } = fit;
  return pieces.map(({ lot, onHand }, index): PlannedDraw => {
    const part = parts[index];
    const several = pieces.length > 1;
    const note = [draw.note, notes[index]].filter((text) => text != null).join(' ');
    return {
      kind: 'draw',
      id: several ? `${id}.${index + 1}` : id,
      phase: phase.id,
      ingredient: ingredient.id,
      name: ingredient.name,
      inci: ingredient.inci,
      vessel: into[index]?.id ?? vessel.id,
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
      cautions: cautionsOf(ingredient),
      note: note === '' ? null : note,
      ...(draw.witness ? { witness: true } : {}),
      ...(way === 'subtract' || others.length === 0 ? {} : { otherLots: others }),
    };
  });
}

/** What goes into each vessel at most: all margins come on top once. */
function fill(walk: Walk, { vessel, draw, ingredient, target, id }: DrawAt, choice: Choice | null): void {
  const { over, under } = margins(target, draw.tolerance);
  const into = new Map<string, Mass>();
  if (!choice || choice.pieces.length === 0) into.set(vessel.id, target);
  else {
    choice.pieces.forEach(({ amount }, index) => {
      const where = choice.into[index]?.id ?? vessel.id;
      into.set(where, mass((into.get(where) ?? 0) + amount));
    });
  }
  const more = into.size > 1 ? over + (into.size - 1) * under : over;
  for (const [where, amount] of into) {
    const most = mass(amount + more);
    walk.contents = filled(walk.contents, where, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
    watchFilling(walk, where, id);
  }
}

/** Double entry: the jar of the draw's lot is weighed before and after it. What is taken out of its own jar is that already. */
function withJar(draw: PlannedDraw): readonly Task[] {
  if (draw.way === 'subtract') return [draw];
  const step = (when: 'before' | 'after'): Task => ({
    kind: 'step',
    id: `${draw.id}/jar-${when}`,
    phase: draw.phase,
    step: 'jar',
    say: `Weigh the jar of ${draw.name} ${when} it is used.`,
    vessel: null,
    into: null,
    jar: { draw: draw.id, when },
    forMs: null,
    times: null,
    until: null,
    cautions: when === 'before' ? draw.cautions : [],
  });
  return [step('before'), draw, step('after')];
}

export function planDraw(walk: Walk, at: DrawAt): void {
  const { workshop, today, cups } = walk;
  const { draw, ingredient, target, vessel, id } = at;
  const refused: Refused = {
    id,
    draw,
    ingredient,
    target,
    batch: walk.batch,
    formula: walk.formula,
    vessel: vessel.id,
  };
  const places = placesFor(walk.contents, vessel);
  const { under } = margins(target, draw.tolerance);
  if (under >= target) {
    walk.refusals.push(refuseBottomless(refused));
    return;
  }

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
  takeFromStock(walk, ingredient, pieces);

  const to: ToPlace = {
    draw,
    target,
    pieces: allotted.ok ? pieces : stand,
    density: ingredient.density,
    vessel,
    inVessel: contentOf(walk.contents, vessel.id).most,
    places,
    mayCut: true,
    cups,
    workshop,
  };
  const chosen = chooseWay(to);
  walk.considered?.push({ id, name: ingredient.name, target, to, chosen });
  fill(walk, at, chosen.ok ? chosen.choice : null);
  if (!chosen.ok) walk.refusals.push(refuseObstacles(refused, chosen.obstacles));
  if (!chosen.ok || !allotted.ok) return;

  const { choice } = chosen;
  const fullness = noteFullness(walk, at, choice);
  const draws = plannedDraws(at, choice, spareLots(stock, pieces, today), fullness);
  walk.tasks.push(...(draw.jar ? draws.flatMap((each) => withJar(each)) : draws));
  walk.notes.push(...noteDraw({ ingredient, pieces, expired, passedOver: allotted.passedOver, choice, today }));
  rememberScale(walk, choice.scale);
  for (const used of [vessel, ...choice.into, ...choice.on]) rememberVessel(walk, used);
}
