/**
 * Plans the rest of a batch for one larger size: what is in stays where it is, top-ups come right after what is on the
 * pan, and all else is planned anew as in the first plan. Says everything that stands in the way.
 */
import { judge } from '../accept/band.ts';
import { apply } from '../facts/apply.ts';
import { wanted } from '../facts/wanted.ts';
import { greater, type Mass, mass, plus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { SizedBatch } from '../plan/batchSize.ts';
import { cupsOf } from '../plan/chooseWay.ts';
import type { Plan, PlannedDraw, Refusal } from '../plan/model.ts';
import { vesselsAtWork } from '../plan/plan.ts';
import { refuseOverfull, type Walk } from '../plan/walk.ts';
import { overCeilings } from './ceilings.ts';
import { contentsNow, leftOf } from './contentsNow.ts';
import type { Asked } from './fate.ts';
import { type Grown, growLine } from './growLine.ts';
import { isHopeless } from './hopeless.ts';
import { type Line, sharesOf } from './lines.ts';
import type { LeftAlone, Raised, RescueInput, TopUp } from './model.ts';
import { planRest } from './planRest.ts';

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

/** The lines that are in: those in the vessel at hand first, then in the order of the formula. */
function inOrder(grown: readonly Grown[]): Grown[] {
  const made = grown.filter(({ line }) => line.parts.length > 0);
  const held = made.find(({ line }) => line.parts.some((part) => part.held));
  const isHere = ({ line }: Grown) => line.where === held?.line.where;
  return [...made.filter(isHere), ...made.filter((each) => !isHere(each))];
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
export function tryOut(
  input: RescueInput,
  lines: readonly Line[],
  size: SizedBatch,
  asked: Asked,
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
    growLine(input, walk, each, asked, leftAlone);
    if (isGlance && walk.refusals.length > 0) return undefined;
  }
  planRest(input, walk, grown, order, size.bars);
  refuseOverfull(walk);
  const plan = newPlan(input, size, walk, grown);
  if (walk.refusals.length === 0)
    walk.refusals.push(...overCeilings(grown, input.formula.limits ?? [], input.workshop));
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
    hopeless: isHopeless(input, before, walk, grown),
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
