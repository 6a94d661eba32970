/**
 * Plans the rest of a batch for one larger size: what is in stays where it is, top-ups come right after what is on the
 * pan, and all else is planned anew as in the first plan. Says everything that stands in the way.
 */
import { judge } from '../accept/band.ts';
import { apply } from '../facts/apply.ts';
import { nextTask, wanted } from '../facts/wanted.ts';
import { greater, lesser, type Mass, mass, minus, plus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { SizedBatch } from '../plan/batchSize.ts';
import { cupsOf } from '../plan/chooseWay.ts';
import { combined, filled, volumeOf } from '../plan/contents.ts';
import { grams } from '../plan/inWords.ts';
import { isExpired } from '../plan/lots.ts';
import type { Plan, PlannedDraw, PlannedStep, Refusal } from '../plan/model.ts';
import { vesselsAtWork } from '../plan/plan.ts';
import { planDraw } from '../plan/planDraw.ts';
import type { Judged } from '../plan/plannedBand.ts';
import { refuseOverfull, type Walk, watchFilling } from '../plan/walk.ts';
import { lateCautions, stepsAgain } from './again.ts';
import { overCeilings } from './ceilings.ts';
import { contentsNow, leftOf } from './contentsNow.ts';
import { fateOf } from './fate.ts';
import { type Line, lineOf, sharesOf } from './lines.ts';
import type { LeftAlone, Meant, Raised, RescueInput, TopUp } from './model.ts';
import { topUp } from './topUp.ts';

export interface Tried {
  readonly plan: Plan;
  readonly topUps: readonly TopUp[];
  readonly raised: readonly Raised[];
  readonly leftAlone: readonly LeftAlone[];
  /** Empty when the size can be had. */
  readonly refusals: readonly Refusal[];
  /** Whether a larger size would meet the same trouble: stock and room only get scarcer. */
  readonly hopeless: boolean;
}

/** A line with its place in the larger batch. */
interface Grown {
  readonly line: Line;
  readonly target: Mass;
  /** Its weighings as the new plan has them, by id. */
  readonly parts: Map<string, PlannedDraw>;
  readonly topUps: PlannedDraw[];
  /** What will be in. */
  amount: Mass;
  /** What is still to be weighed of it, whether that can be done or not. */
  needs: Mass;
}

/** All that has left the lots, the held draw's included (with what was taken back out of a vessel or cup). */
function usedNow({ used, held, state }: RescueInput, lines: readonly Line[]): Map<string, Mass> {
  const all = new Map(used);
  const part = lines.flatMap(({ parts }) => parts).find((each) => each.held);
  if (!part || !held) return all;
  const { draw } = part;
  const taken = draw.way === 'subtract' ? held.net : greater(held.net, state.draws[draw.id]?.peak ?? ZERO);
  const key = `${draw.ingredient} ${draw.lot}`;
  return all.set(key, plus(all.get(key) ?? ZERO, taken));
}

function startWalk(input: RescueInput, lines: readonly Line[], batch: Mass): Walk {
  const { workshop, formula, today, state } = input;
  return {
    workshop,
    formula,
    batch,
    today,
    cups: cupsOf(workshop, vesselsAtWork(formula)),
    contents: contentsNow(lines),
    taken: usedNow(input, lines),
    overfull: new Map(),
    tasks: [],
    notes: [],
    refusals: [],
    scales: { ...state.plan.scales },
    vessels: { ...state.plan.vessels },
  };
}

/** The weighings of a line that gets no more, under the band of its new target. The last one carries the rest. */
function partsAlone({ parts, id }: Line, target: Mass, judged: Judged): Map<string, PlannedDraw> {
  let earlier = ZERO;
  return new Map(
    parts.map(({ draw, amount }, index) => {
      const isLast = index === parts.length - 1;
      const { low, high, guard } = judged;
      const own = isLast
        ? {
            target: greater(ZERO, minus(target, earlier)),
            low: minus(low, earlier),
            high: greater(ZERO, minus(high, earlier)),
            guard,
          }
        : { target: amount, low: lesser(draw.low, amount) };
      earlier = plus(earlier, amount);
      const part = parts.length > 1 ? { group: id, index: index + 1, of: parts.length, target, low, high } : null;
      return [draw.id, { ...draw, ...own, part }];
    }),
  );
}

/** Plans what becomes of a line that is in. */
function growLine(input: RescueInput, walk: Walk, grown: Grown, meant: Meant, left: LeftAlone[]): void {
  const { line, target } = grown;
  const fate = fateOf(input, line, target, meant, walk.taken);
  if (!fate || fate.kind === 'too much') {
    const why = `${line.ingredient.name}: ${grams(line.amount)} are in, more than ${grams(fate?.judged.high ?? target)}.`;
    walk.refusals.push({ where: line.id, why, instead: null });
    return;
  }
  const { judged } = fate;
  if (fate.kind !== 'stays') grown.needs = minus(target, line.amount);
  if (fate.kind === 'goes on') {
    const more = minus(target, line.amount);
    const [held] = line.parts.filter((part) => part.held);
    const key = held && `${held.draw.ingredient} ${held.draw.lot}`;
    if (key) walk.taken.set(key, plus(walk.taken.get(key) ?? ZERO, more));
    fillUp(walk, line, minus(greater(target, judged.high), line.amount));
    grown.amount = target;
  } else if (fate.kind === 'needs more' || fate.mayGrow) {
    if (growByTopUp(input, walk, grown, fate.kind === 'stays')) return;
  }
  for (const [id, draw] of partsAlone(line, target, judged)) grown.parts.set(id, draw);
  if (fate.kind !== 'stays') return;
  const { id, ingredient, amount } = line;
  left.push({ draw: id, name: ingredient.name, amount, target, low: judged.low, high: judged.high });
}

/** What is held gets so much more at most. */
function fillUp(walk: Walk, { id, where, ingredient }: Line, most: Mass): void {
  walk.contents = filled(walk.contents, where, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
  watchFilling(walk, where, id);
}

/** @returns false when it may stay as it is and is left so */
function growByTopUp(input: RescueInput, walk: Walk, grown: Grown, mayStay: boolean): boolean {
  const { line, target } = grown;
  const id = line.where;
  const vessel = walk.workshop.vessels.get(id);
  if (!vessel) {
    if (!mayStay)
      walk.refusals.push({ where: line.id, why: `The workshop has no vessel ${id} any more.`, instead: null });
    return !mayStay;
  }
  const result = topUp(walk, { line, target, vessel, mayStay, late: () => lateCautions(input, id, line) });
  if (!result.ok) {
    if (!mayStay) walk.refusals.push(result.refusal);
    return !mayStay;
  }
  line.parts.forEach(({ draw, amount, held }, index) => {
    // What is held becomes a part that is just what it weighs.
    const own = held ? { low: lesser(draw.low, amount), high: greater(draw.high, amount) } : {};
    const target = greater(ZERO, amount);
    grown.parts.set(draw.id, { ...draw, ...own, target, part: result.part(index + 1) });
  });
  grown.topUps.push(...result.draws);
  grown.amount = target;
  return true;
}

/** The lines that are in: those in the vessel at hand first, then in the order of the formula. */
function inOrder(grown: readonly Grown[]): Grown[] {
  const made = grown.filter(({ line }) => line.parts.length > 0);
  const held = made.find(({ line }) => line.parts.some((part) => part.held));
  const isHere = ({ line }: Grown) => line.where === held?.line.where;
  return [...made.filter(isHere), ...made.filter((each) => !isHere(each))];
}

/** Top-ups in order, after those into each vessel the steps that must be repeated there. */
function lateWork(input: RescueInput, order: readonly Grown[]): (PlannedDraw | PlannedStep)[] {
  const late: (PlannedDraw | PlannedStep)[] = [];
  const topped = order.filter(({ topUps }) => topUps.length > 0);
  for (const vessel of new Set(topped.map(({ line }) => line.where))) {
    const here = topped.filter(({ line }) => line.where === vessel);
    late.push(...here.flatMap(({ topUps }) => topUps));
    late.push(
      ...stepsAgain(
        input,
        vessel,
        here.map(({ line }) => line),
      ),
    );
  }
  return late;
}

/** Place in the plan where the top-ups come: after what is held, else before what is next. */
function placeNow({ state, held }: RescueInput): number {
  const { tasks } = state.plan;
  if (held) return tasks.findIndex(({ id }) => id === held.draw) + 1;
  const next = nextTask(state);
  return next ? tasks.indexOf(next) : tasks.length;
}

/** Walks the plan as it is, and puts into the new one what is in, the late work, and the rest planned anew. */
function planRest(input: RescueInput, walk: Walk, grown: readonly Grown[], order: readonly Grown[]): void {
  const { state, workshop } = input;
  const byLine = new Map(grown.map((each) => [each.line.id, each]));
  const planned = new Set<string>();
  const now = placeNow(input);
  [...state.plan.tasks, null].forEach((task, index) => {
    if (index === now) walk.tasks.push(...lateWork(input, order));
    if (task === null) return;
    if (task.kind === 'step') {
      walk.tasks.push(task);
      if (state.steps[task.id]?.done || task.step !== 'combine' || !task.vessel || !task.into) return;
      walk.contents = combined(walk.contents, task.vessel, task.into);
      watchFilling(walk, task.into, task.id);
      return;
    }
    const each = byLine.get(lineOf(task));
    if (!each) return;
    const { line, target, parts } = each;
    const part = parts.get(task.id);
    if (part) walk.tasks.push(part);
    if (line.parts.length > 0 || planned.has(line.id)) return;
    planned.add(line.id);
    const vessel = workshop.vessels.get(line.phase.vessel);
    const { id, phase, draw, ingredient } = line;
    if (vessel) planDraw(walk, { id, phase, vessel, draw, ingredient, target });
    else walk.refusals.push({ where: id, why: `The workshop has no vessel ${phase.vessel} any more.`, instead: null });
  });
}

/** Ingredients of which the lots in date don't hold what is still to be weighed. */
function isShort(input: RescueInput, taken: ReadonlyMap<string, Mass>, grown: readonly Grown[]): boolean {
  const need = new Map<string, number>();
  for (const { line, needs } of grown) need.set(line.ingredient.id, (need.get(line.ingredient.id) ?? 0) + needs);
  return [...need].some(([id, wanted]) => {
    const lots = input.workshop.ingredients.get(id)?.lots ?? [];
    const onHand = lots
      .filter((lot) => !isExpired(lot, input.today))
      .reduce((sum, lot) => sum + Math.max(0, lot.onHand - (taken.get(`${id} ${lot.id}`) ?? 0)), 0);
    return wanted > onHand;
  });
}

/**
 * Whether a draw is stopped by load and room alone. Only where its lot is one without a jar is it sure to stay so: with
 * several lots or jars, a larger amount may be divided otherwise.
 */
function isTooHeavy(
  { workshop, today }: RescueInput,
  taken: ReadonlyMap<string, Mass>,
  refusals: readonly Refusal[],
  lines: readonly Line[],
): boolean {
  return refusals.some(({ where, worseWithMore }) => {
    const ingredient = lines.find(({ id }) => id === where)?.ingredient;
    if (!worseWithMore || !ingredient) return false;
    const { lots } = workshop.ingredients.get(ingredient.id) ?? ingredient;
    const usable = lots.filter(
      (lot) => !isExpired(lot, today) && lot.onHand > (taken.get(`${ingredient.id} ${lot.id}`) ?? 0),
    );
    return usable.length === 1 && usable[0]?.jar === undefined;
  });
}

function newPlan({ state }: RescueInput, size: SizedBatch, walk: Walk, grown: readonly Grown[]): Plan {
  const ofPhase = (id: string) => sumOf(grown.filter(({ line }) => line.phase.id === id).map(({ target }) => target));
  return {
    ...state.plan,
    bars: size.bars,
    mass: size.mass,
    phases: state.plan.phases.map((phase) => ({ ...phase, mass: ofPhase(phase.id) })),
    tasks: walk.tasks,
    scales: walk.scales,
    vessels: walk.vessels,
    notes: [...new Set([...state.plan.notes, ...walk.notes])],
  };
}

/** Whether the bench would hold the weight again, because a check has found its scale less sure than the plan knew. */
function isHeldAgain({ state, held }: RescueInput, plan: Plan): boolean {
  const draw = plan.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.id === held?.draw);
  if (!draw || !held) return false;
  const place = { batch: state.batch, seq: state.seq + 1, at: '', by: '' };
  const from = { mass: state.plan.mass, bars: state.plan.bars };
  const fact = { kind: 'rescued', draw: held.draw, meant: 'exact', from, plan, topUps: [], say: '', ...place } as const;
  return judge(held.net, wanted(apply(state, fact), draw)) === 'over';
}

/**
 * Tries one size.
 * @returns undefined when `isGlance` and what is in does not come right, which is the usual trouble and seen first
 */
export function tryOut(input: RescueInput, lines: readonly Line[], size: SizedBatch, meant: Meant): Tried;
export function tryOut(
  input: RescueInput,
  lines: readonly Line[],
  size: SizedBatch,
  meant: Meant,
  isGlance: boolean,
): Tried | undefined;
export function tryOut(
  input: RescueInput,
  lines: readonly Line[],
  size: SizedBatch,
  meant: Meant,
  isGlance = false,
): Tried | undefined {
  const targets = splitByShares(size.mass, sharesOf(input));
  const grown = lines.map((line, index): Grown => {
    const target = targets[index] ?? ZERO;
    const isIn = line.parts.length > 0;
    return {
      line,
      target,
      parts: new Map(),
      topUps: [],
      amount: isIn ? line.amount : target,
      needs: isIn ? ZERO : target,
    };
  });
  const walk = startWalk(input, lines, size.mass);
  const before = new Map(walk.taken);
  const leftAlone: LeftAlone[] = [];
  const order = inOrder(grown);
  for (const each of order) {
    growLine(input, walk, each, meant, leftAlone);
    if (isGlance && walk.refusals.length > 0) return undefined;
  }
  planRest(input, walk, grown, order);
  refuseOverfull(walk);
  const plan = newPlan(input, size, walk, grown);
  if (walk.refusals.length === 0) walk.refusals.push(...overCeilings(grown, input.ceilings));
  if (walk.refusals.length === 0 && isHeldAgain(input, plan)) {
    const why = 'The scale is less sure than planned, and would still call this too much.';
    walk.refusals.push({ where: input.held?.draw ?? null, why, instead: null });
  }
  return {
    plan,
    topUps: order.flatMap(({ topUps }) => topUps.map((draw) => toldTopUp(input, walk, draw))),
    raised: grown.flatMap((each) => raisedOf(each, leftAlone)),
    leftAlone,
    refusals: walk.refusals,
    hopeless:
      walk.overfull.size > 0 || isShort(input, before, grown) || isTooHeavy(input, before, walk.refusals, lines),
  };
}

function toldTopUp(input: RescueInput, { taken }: Walk, draw: PlannedDraw): TopUp {
  const { id, ingredient, name, target, low, high, lot, scale, way, on, vessel } = draw;
  const lotLeft = leftOf(input, taken, draw);
  return { draw: id, ingredient, name, amount: target, low, high, lot, lotLeft, scale, way, on, vessel };
}

/** Lines that are not in yet, and the one that is on the pan and goes on. */
function raisedOf({ line, target, topUps }: Grown, leftAlone: readonly LeftAlone[]): Raised[] {
  if (topUps.length > 0 || leftAlone.some(({ draw }) => draw === line.id)) return [];
  return [{ draw: line.id, name: line.ingredient.name, from: line.target, to: mass(target) }];
}
