/** What each fact does to the state of its batch: `facts.reduce(apply, planned)`. */
import { doubtFrom } from '../accept/zeroShift.ts';
import { type Mass, minus, plus, size, ZERO } from '../mass/mass.ts';
import type { Plan, PlannedDraw } from '../plan/model.ts';
import type { BatchState, DrawState, HandOver, VesselState } from './batchState.ts';
import { broughtIn, broughtInVain } from './broughtIn.ts';
import { clingingAfter, combined, rinsed, withoutVessel } from './combine.ts';
import type { Fact } from './fact.ts';
import { handOverOf, isOut } from './handOver.ts';
import { split } from './split.ts';
import { undoableAfter, undone } from './undo.ts';
import { unseenAfter } from './unseenZero.ts';

const UNTOUCHED: DrawState = {
  status: 'open',
  base: null,
  peak: null,
  net: null,
  bowl: null,
  lotEnded: false,
  doubt: null,
};

/** The state of a planned batch before anything has happened. */
export function planned(batch: string, plan: Plan): BatchState {
  const draws: Record<string, DrawState> = {};
  for (const task of plan.tasks) if (task.kind === 'draw') draws[task.id] = UNTOUCHED;
  return {
    batch,
    plan,
    gathered: false,
    draws,
    steps: {},
    vessels: {},
    jars: {},
    clinging: {},
    scales: {},
    handOvers: [],
    partOf: null,
    lastAccepted: null,
    lastShift: null,
    takenOut: null,
    unseen: [],
    undoable: null,
    ended: 'open',
    seq: 0,
  };
}

/**
 * The state of a batch from all its facts, in order.
 * @throws Error when they do not begin with the batch's plan
 */
export function stateOf(facts: readonly Fact[]): BatchState {
  const first = facts[0];
  if (first?.kind !== 'batch-started') throw new Error('the log of this batch does not begin with its plan');
  return facts.reduce(apply, planned(first.batch, first.plan));
}

/** The state after one more fact. Facts of draws or steps that the plan does not have change nothing. */
export function apply(state: BatchState, fact: Fact): BatchState {
  const next = applied(state, fact);
  const undoable = undoableAfter(state, fact, next !== state, applied);
  return { ...next, unseen: unseenAfter(state, next, fact), undoable, seq: fact.seq };
}

function applied(state: BatchState, fact: Fact): BatchState {
  switch (fact.kind) {
    case 'scales-stand':
      return { ...state, scales: scalesFrom(fact) };
    case 'gathered':
      return { ...state, gathered: true };
    case 'placed':
      if (!state.draws[fact.draw]) return state;
      return placed(state, fact);
    case 'held':
      return setDraw(state, fact.draw, { peak: fact.net });
    case 'weighed':
      return weighed(state, fact);
    case 'tipped':
      return tipped(state, fact);
    case 'discarded':
      return discarded(state, fact);
    case 'returned':
      return { ...state, takenOut: null };
    case 'given-up':
      return givenUp(state, fact.vessel, fact.draws);
    case 'rescued':
      return rescued(state, fact);
    case 'step-begun':
      return setStep(state, fact.step, { bursts: fact.burst, begunAt: fact.at, done: false });
    case 'step-done':
      return stepDone(state, fact);
    case 'zero-shifted':
      return zeroShifted(state, fact);
    case 'split':
      return split(state, fact, UNTOUCHED);
    case 'sum-checked':
      return sumChecked(state, fact);
    case 'jar-weighed':
      return jarWeighed(state, fact);
    case 'undone':
      return undone(state, fact);
    case 'handed-over':
      return handedOver(state, fact);
    case 'calling-back':
      return standsNow(state, fact.number, 'calling');
    case 'called-back':
      return standsNow(state, fact.number, 'back');
    case 'brought-in':
      return broughtIn(state, fact, stateOf);
    case 'joined': {
      const { bench, role, of, number } = fact;
      return { ...state, partOf: { bench, role, of, number, confirmed: false } };
    }
    case 'join-confirmed':
      return state.partOf ? { ...state, partOf: { ...state.partOf, confirmed: true } } : state;
    case 'finished':
      return { ...state, ended: 'finished' };
    case 'abandoned':
      return { ...state, ended: 'abandoned' };
    case 'batch-started':
    case 'scale-checked':
    case 'lot-received':
    case 'lot-blocked':
    case 'lot-released':
    case 'stock-taken':
    case 'lot-short':
    case 'lot-confirmed':
    case 'resumed':
    case 'scale-lost':
    case 'scale-back':
    case 'measured':
    case 'corrected':
    // Bars are made of a batch that is done: they have a state of their own (`bars.ts`).
    case 'portioning-started':
    case 'bar':
    case 'bar-pulled':
    case 'bar-pressed':
    case 'left-over':
    case 'portioning-ended':
    case 'bar-weighed-again':
    case 'bar-again-undone':
      return state;
  }
}

/** How each scale stands by a fact that says so. */
export function scalesFrom({ scales, at }: Fact & { kind: 'scales-stand' }): BatchState['scales'] {
  const today = at.slice(0, 10); // both are local times of the workshop
  return Object.fromEntries(
    Object.entries(scales).map(([id, standing]) => [
      id,
      { ...standing, today: standing.checkedAt?.slice(0, 10) === today },
    ]),
  );
}

/** The planned draw with an id. */
export function drawOf(state: BatchState, id: string): PlannedDraw | undefined {
  return state.plan.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.id === id);
}

function handedOver(state: BatchState, { number, phases, to }: Fact & { kind: 'handed-over' }): BatchState {
  const handOver: HandOver = { number, phases, to, stands: 'out', own: [], mass: state.plan.mass };
  return { ...state, handOvers: [...state.handOvers, handOver] };
}

/** What was brought in, or is back, is no longer out: nothing changes. */
function standsNow(state: BatchState, number: number, stands: HandOver['stands']): BatchState {
  const handOver = handOverOf(state, number);
  if (!handOver || !isOut(handOver)) return state;
  return { ...state, handOvers: state.handOvers.map((each) => (each === handOver ? { ...each, stands } : each)) };
}

function setDraw(state: BatchState, id: string, change: Partial<DrawState>): BatchState {
  const draw = state.draws[id];
  return draw ? { ...state, draws: { ...state.draws, [id]: { ...draw, ...change } } } : state;
}

function setVessel(state: BatchState, id: string, change: Partial<VesselState>): BatchState {
  const vessel = state.vessels[id] ?? { load: ZERO, certain: true, holds: [], empty: null };
  return { ...state, vessels: { ...state.vessels, [id]: { ...vessel, ...change } } };
}

function setStep(state: BatchState, id: string, change: BatchState['steps'][string]): BatchState {
  const isPlanned = state.plan.tasks.some((task) => task.kind === 'step' && task.id === id);
  return isPlanned ? { ...state, steps: { ...state.steps, [id]: change } } : state;
}

/** Adds what came into a vessel that did not stand on a pan, if its weight is known at all. */
function intoVessel(state: BatchState, id: string, draw: string, amount: Mass): BatchState {
  const vessel = state.vessels[id];
  if (!vessel) return { ...state, vessels: { ...state.vessels, [id]: unweighed(state, id, draw, amount) } };
  return setVessel(state, id, { load: plus(vessel.load, amount), holds: [...vessel.holds, draw] });
}

/** A vessel that has not been on a pan in this batch: its usual tare is the best that is known. */
function unweighed(state: BatchState, id: string, draw: string, amount: Mass): VesselState {
  return { load: plus(state.plan.vessels[id]?.tare ?? ZERO, amount), certain: false, holds: [draw], empty: null };
}

/** The vessel stands on the pan with what it weighs now; that is its empty weight while no draw is in it. */
function placed(before: BatchState, fact: Fact & { kind: 'placed' }): BatchState {
  const state = setDraw(before, fact.draw, { base: fact.load });
  const isEmpty = drawOf(state, fact.draw)?.way === 'add' && (state.vessels[fact.vessel]?.holds ?? []).length === 0;
  const known = { load: fact.load, certain: true, doubt: undefined };
  return setVessel(state, fact.vessel, isEmpty ? { ...known, empty: fact.load } : known);
}

function weighed(before: BatchState, fact: Fact & { kind: 'weighed' }): BatchState {
  const draw = drawOf(before, fact.draw);
  if (!draw) return before;
  const done = fact.way !== 'cup';
  let state = setDraw(before, fact.draw, {
    status: done ? 'done' : 'weighed',
    net: fact.net,
    bowl: done ? fact.net : null,
    lotEnded: fact.lotEnded,
    doubt: null,
  });
  const isPure = fact.way === 'cup' || (before.vessels[draw.on]?.holds ?? []).length === 0;
  // Out of a mixture nothing goes back into a jar, and on the spoon it went back at once.
  const isAsked = fact.way !== 'subtract' && isPure && fact.takenBack > 0;
  const takenOut = isAsked ? { draw: fact.draw, amount: fact.takenBack } : null;
  state = { ...state, takenOut, lastAccepted: { draw: fact.draw, net: fact.net, seq: fact.seq } };
  const onPan = setVessel(state, draw.on, { load: fact.after, certain: true });
  if (fact.way === 'add') {
    return setVessel(onPan, draw.vessel, { holds: [...(onPan.vessels[draw.vessel]?.holds ?? []), draw.id] });
  }
  return fact.way === 'subtract' ? intoVessel(onPan, draw.vessel, draw.id, fact.net) : onPan;
}

function tipped(before: BatchState, fact: Fact & { kind: 'tipped' }): BatchState {
  const draw = drawOf(before, fact.draw);
  const known = before.draws[fact.draw];
  if (!draw || known?.net == null || known.base === null) return before;
  const bowl = minus(known.net, fact.residue);
  const state = setDraw(before, fact.draw, { status: 'done', bowl });
  return intoVessel(setVessel(state, draw.on, { load: plus(known.base, fact.residue) }), draw.vessel, draw.id, bowl);
}

/** The draws are marked, and so are the vessels that stood there: their weights may be off by as much. */
function zeroShifted(before: BatchState, { scale, shift, draws, seq }: Fact & { kind: 'zero-shifted' }): BatchState {
  let state: BatchState = { ...before, lastShift: { scale, shift, draws, seq } };
  for (const id of draws) {
    const draw = drawOf(state, id);
    const known = state.draws[id];
    if (!draw || known?.net == null) continue;
    const doubt = doubtFrom(draw.way, shift);
    if (known.doubt !== null && size(known.doubt) >= size(doubt)) continue;
    state = setDraw(state, id, { doubt });
    if (state.vessels[draw.on]) state = setVessel(state, draw.on, { doubt: size(doubt) });
  }
  return state;
}

/** The cup or spoon was emptied into the bin: the draw starts anew, from the vessel's weight as it is then. */
function discarded(before: BatchState, fact: Fact & { kind: 'discarded' }): BatchState {
  const draw = drawOf(before, fact.draw);
  const base = before.draws[fact.draw]?.base;
  const state = setDraw(before, fact.draw, UNTOUCHED);
  if (!draw || base == null) return state;
  if (draw.way === 'subtract') return setVessel(state, draw.on, { load: minus(base, fact.amount) });
  return withoutVessel(state, draw.on);
}

/**
 * A vessel is emptied into the bin: its draws are open again, and so are the steps of their phases and those that had
 * to do with the vessels that the draws went into.
 */
function givenUp(before: BatchState, vessel: string, draws: readonly string[]): BatchState {
  const phases = new Set<string>();
  const emptied = new Set([vessel]);
  let state = before;
  for (const id of draws) {
    const draw = drawOf(state, id);
    if (!draw) continue;
    phases.add(draw.phase);
    emptied.add(draw.vessel);
    state = setDraw(state, id, UNTOUCHED);
  }
  for (const each of emptied) state = withoutVessel(state, each);
  const clinging = clingingAfter(state.clinging, emptied, draws);
  const steps = { ...state.steps };
  const isEmptied = (id: string | null) => id !== null && emptied.has(id);
  for (const task of state.plan.tasks) {
    if (task.kind !== 'step') continue;
    if (phases.has(task.phase) || isEmptied(task.vessel) || isEmptied(task.into)) delete steps[task.id];
  }
  return broughtInVain({ ...state, steps, clinging }, draws);
}

/**
 * The batch goes on by another plan. What was weighed stays weighed, what is on the pan stays on the pan; all else is
 * still to do.
 */
function rescued(state: BatchState, { plan, draw: held }: Fact & { kind: 'rescued' }): BatchState {
  const draws: Record<string, DrawState> = {};
  const steps: Record<string, BatchState['steps'][string]> = {};
  for (const { kind, id } of plan.tasks) {
    const known = state.draws[id];
    const step = state.steps[id];
    if (kind === 'draw') draws[id] = known && (known.net !== null || id === held) ? known : UNTOUCHED;
    else if (step) steps[id] = step;
  }
  return { ...state, plan, draws, steps };
}

function jarWeighed(before: BatchState, fact: Fact & { kind: 'jar-weighed' }): BatchState {
  const state = setStep(before, fact.step, { bursts: 0, begunAt: fact.at, done: true });
  if (state === before || fact.when === 'after') return state;
  return { ...state, jars: { ...state.jars, [fact.draw]: { load: fact.load, scale: fact.scale } } };
}

/** What the whole vessel weighs is better known than the sum of what went in. */
function sumChecked(before: BatchState, fact: Fact & { kind: 'sum-checked' }): BatchState {
  const state = setStep(before, fact.step, { bursts: 0, begunAt: fact.at, done: true });
  return state === before
    ? before
    : setVessel(state, fact.vessel, { load: fact.found, certain: true, doubt: undefined });
}

function stepDone(before: BatchState, fact: Fact & { kind: 'step-done' }): BatchState {
  const begunAt = before.steps[fact.step]?.begunAt ?? fact.at;
  const state = setStep(before, fact.step, { bursts: fact.bursts, begunAt, done: true });
  const task = state.plan.tasks.find((each) => each.kind === 'step' && each.id === fact.step);
  if (task?.kind !== 'step' || task.vessel === null || task.into === null) return state;
  if (task.step === 'combine') return combined(state, task.vessel, task.into, fact.weighedBack);
  return task.step === 'rinse' ? rinsed(state, task.vessel, task.into, fact.weighedBack) : state;
}
