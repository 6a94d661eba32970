/** What another bench has weighed of a batch, taken into its state and told among its facts as if it had been weighed here. */
import { greater, type Mass, ZERO } from '../mass/mass.ts';
import { ownScales, type Plan, type PlannedDraw, type PlannedStep, type Task } from '../plan/model.ts';
import type { BatchState, HandOver, VesselState } from './batchState.ts';
import { certaintyOf } from './certainty.ts';
import type { Fact } from './fact.ts';
import { handOverOf, isOut } from './handOver.ts';
import type { ToldFact } from './handOverFacts.ts';
import { standingFacts } from './undo.ts';

type BroughtInFact = Fact & { kind: 'brought-in' };

/** A scale of another bench: `dye_room/fine`. */
export function scaleAt(role: string, scale: string): string {
  return `${role}/${scale}`;
}

/** The state with what the other bench has weighed; unchanged where its phases are not out. */
export function broughtIn(
  state: BatchState,
  fact: BroughtInFact,
  stateOf: (facts: readonly Fact[]) => BatchState,
): BatchState {
  const handOver = handOverOf(state, fact.number);
  if (!handOver || !isOut(handOver)) return state;
  const other = stateOf(fact.facts);
  const theirs = other.plan.tasks.filter(({ phase }) => handOver.phases.includes(phase)).map(onScaleOf(fact.role));
  const isTheirs = ({ phase }: Task) => handOver.phases.includes(phase);
  const vessels = vesselsOver(other);
  const tasks = replaced(state.plan.tasks, isTheirs, [...theirs, ...arrivals(state, handOver, vessels)]);
  const mine = state.plan.tasks.filter(isTheirs);
  return {
    ...state,
    plan: planWith(state.plan, tasks, other.plan, fact.role),
    draws: { ...without(state.draws, mine), ...only(other.draws, theirs) },
    steps: { ...without(state.steps, mine), ...only(other.steps, theirs) },
    vessels: { ...state.vessels, ...vessels },
    jars: { ...state.jars, ...other.jars },
    clinging: { ...state.clinging, ...other.clinging },
    scales: { ...state.scales, ...renamedKeys(other.scales, fact.role) },
    handOvers: state.handOvers.map((each) =>
      each === handOver ? { ...each, stands: 'in', own: mine, mass: state.plan.mass } : each,
    ),
  };
}

/** The state with this bench's own tasks again, where what was brought in was given up. */
export function broughtInVain(state: BatchState, givenUp: readonly string[]): BatchState {
  const vain = state.handOvers.filter(({ stands, phases }) => stands === 'in' && isOfPhases(state, phases, givenUp));
  // A batch that was scaled up since has other targets than the tasks of then: those are weighed at the other bench again.
  return vain.reduce((before, each) => (each.mass === before.plan.mass ? withOwn(before, each) : before), state);
}

function isOfPhases({ plan }: BatchState, phases: readonly string[], draws: readonly string[]): boolean {
  return plan.tasks.some((task) => task.kind === 'draw' && phases.includes(task.phase) && draws.includes(task.id));
}

function withOwn(state: BatchState, handOver: HandOver): BatchState {
  const isTheirs = ({ phase }: Task) => handOver.phases.includes(phase);
  const gone = state.plan.tasks.filter(isTheirs);
  const open = handOver.own.filter((task): task is PlannedDraw => task.kind === 'draw');
  const untouched = {
    status: 'open',
    base: null,
    peak: null,
    net: null,
    bowl: null,
    lotEnded: false,
    doubt: null,
  } as const;
  return {
    ...state,
    plan: { ...state.plan, tasks: replaced(state.plan.tasks, isTheirs, handOver.own) },
    draws: { ...without(state.draws, gone), ...Object.fromEntries(open.map(({ id }) => [id, untouched])) },
    steps: without(state.steps, gone),
    handOvers: state.handOvers.map((each) => (each === handOver ? { ...each, stands: 'back' } : each)),
  };
}

/** All draws of hand-overs that a vessel has something of: who gives it up gives up all of these. */
export function broughtInWith(state: BatchState, draws: readonly string[]): readonly string[] {
  const phases = state.handOvers
    .filter((each) => each.stands === 'in' && isOfPhases(state, each.phases, draws))
    .flatMap((each) => each.phases);
  const all = state.plan.tasks.flatMap((task) =>
    task.kind === 'draw' && phases.includes(task.phase) && state.draws[task.id]?.status !== 'open' ? [task.id] : [],
  );
  return [...new Set([...draws, ...all])];
}

/** The tasks where some are replaced by others, at the place of the first. */
function replaced(tasks: readonly Task[], which: (task: Task) => boolean, by: readonly Task[]): Task[] {
  const at = tasks.findIndex(which);
  if (at < 0) return [...tasks, ...by];
  return [...tasks.slice(0, at), ...by, ...tasks.slice(at).filter((task) => !which(task))];
}

function onScaleOf(role: string): (task: Task) => Task {
  return (task) => (task.kind === 'draw' ? { ...task, scale: scaleAt(role, task.scale) } : task);
}

/**
 * What comes over from the other bench's scales is known there, with that scale's own uncertainty: another scale may well
 * show it otherwise by as much.
 */
function vesselsOver(other: BatchState): Record<string, VesselState> {
  const over: Record<string, VesselState> = {};
  for (const [id, vessel] of Object.entries(other.vessels)) {
    if (vessel.holds.length === 0) continue;
    // Its empty weight there is another scale's: what sticks to it is told against its usual tare.
    over[id] = { ...vessel, empty: null, doubt: greater(vessel.doubt ?? ZERO, unsureOf(other, vessel)) };
  }
  return over;
}

function unsureOf(other: BatchState, { holds, load }: VesselState): Mass {
  const draws = other.plan.tasks.filter((task) => task.kind === 'draw' && holds.includes(task.id)) as PlannedDraw[];
  const each = draws.map((draw) => certaintyOf(other, draw, load, ZERO).uncertainty);
  return each.reduce(greater, ZERO);
}

const ARRIVAL = 'over-';

/** Whether a step weighs a vessel as it came from another bench: that is done once. */
export function isArrival({ id, phase }: Pick<PlannedStep, 'id' | 'phase'>): boolean {
  return id.startsWith(`${phase}/${ARRIVAL}`);
}

/** Each vessel that comes over is weighed here as a whole, where a scale can carry it: so a wrong or spilt one is found. */
function arrivals(
  { plan }: BatchState,
  { number, phases, to }: HandOver,
  vessels: Record<string, VesselState>,
): PlannedStep[] {
  const most = Math.max(0, ...Object.values(ownScales(plan)).map(({ keyed, capacity }) => (keyed ? 0 : capacity)));
  const phase = phases.at(-1);
  const carried = Object.entries(vessels).filter(([, { load }]) => load <= most);
  if (phase === undefined) return [];
  return carried.map(([vessel], index) => ({
    kind: 'step',
    id: `${phase}/${ARRIVAL}${number}${index === 0 ? '' : `.${index + 1}`}`,
    phase,
    step: 'sum',
    say: `Weigh the ${plan.vessels[vessel]?.name ?? vessel} as it has come from ${to}.`,
    vessel,
    into: null,
    forMs: null,
    times: null,
    until: null,
    cautions: [],
  }));
}

function planWith(plan: Plan, tasks: readonly Task[], other: Plan, role: string): Plan {
  const scales = Object.values(other.scales).map(({ id, ...scale }) => {
    const name = scaleAt(role, id);
    return [name, { ...scale, id: name, bench: role }];
  });
  return {
    ...plan,
    tasks,
    scales: { ...plan.scales, ...Object.fromEntries(scales) },
    vessels: { ...other.vessels, ...plan.vessels },
    notes: [...new Set([...plan.notes, ...other.notes])],
    ...papersWith(plan, other),
  };
}

/** What was known of lots and materials there, where it was not here. */
function papersWith(plan: Plan, other: Plan): Partial<Plan> {
  const isSameMoney = plan.currency === other.currency;
  const lots: Record<string, NonNullable<Plan['lots']>[string]> = { ...plan.lots };
  for (const [ingredient, papers] of Object.entries(other.lots ?? {})) {
    const priced = Object.entries(papers).map(([lot, { pricePerKg, ...paper }]) => [
      lot,
      isSameMoney && pricePerKg !== undefined ? { ...paper, pricePerKg } : paper,
    ]);
    lots[ingredient] = { ...Object.fromEntries(priced), ...lots[ingredient] };
  }
  const materials: Record<string, NonNullable<Plan['materials']>[string]> = { ...other.materials, ...plan.materials };
  for (const [ingredient, { lots: stated }] of Object.entries(other.materials ?? {})) {
    const known = materials[ingredient];
    if (known && stated) materials[ingredient] = { ...known, lots: { ...stated, ...known.lots } };
  }
  return {
    ...(Object.keys(lots).length > 0 ? { lots } : {}),
    ...(Object.keys(materials).length > 0 ? { materials } : {}),
  };
}

function without<T>(of: Readonly<Record<string, T>>, tasks: readonly Task[]): Record<string, T> {
  const gone = new Set(tasks.map(({ id }) => id));
  return Object.fromEntries(Object.entries(of).filter(([id]) => !gone.has(id)));
}

function only<T>(of: Readonly<Record<string, T>>, tasks: readonly Task[]): Record<string, T> {
  const wanted = new Set(tasks.map(({ id }) => id));
  return Object.fromEntries(Object.entries(of).filter(([id]) => wanted.has(id)));
}

function renamedKeys<T>(of: Readonly<Record<string, T>>, role: string): Record<string, T> {
  return Object.fromEntries(Object.entries(of).map(([id, value]) => [scaleAt(role, id), value]));
}

/** Facts of the other bench that say nothing of what was weighed, or are told by the fact that brought them in. */
const NOT_TOLD: ReadonlySet<ToldFact['kind']> = new Set<ToldFact['kind']>([
  'batch-started',
  'joined',
  'join-confirmed',
  'gathered',
]);

/**
 * The facts of a batch with those that were brought in right behind the fact that says so: their scales named with their
 * bench, their place that of this fact. What was taken back there is left out; that bench's own record tells it.
 * @param facts in order, standing ones or all
 */
export function withBroughtIn(facts: readonly Fact[]): readonly Fact[] {
  if (!facts.some(({ kind }) => kind === 'brought-in')) return facts;
  return facts.flatMap((fact) => (fact.kind === 'brought-in' ? [fact, ...toldHere(fact)] : [fact]));
}

function toldHere({ facts, role, seq, batch }: BroughtInFact): Fact[] {
  const standing = new Set<Fact>(standingFacts(facts));
  return facts.flatMap((fact, index): Fact[] => {
    if (!standing.has(fact) || NOT_TOLD.has(fact.kind)) return [];
    const before = facts[index - 1];
    if (fact.kind === 'lot-short' && before && !standing.has(before)) return [];
    return [{ ...renamed(fact, role, seq), seq, batch }];
  });
}

/** @param seq where it is told */
function renamed(fact: ToldFact, role: string, seq: number): Fact {
  if (fact.kind === 'scales-stand') return { ...fact, scales: renamedKeys(fact.scales, role) };
  if (fact.kind === 'split') return { ...fact, rest: { ...fact.rest, scale: scaleAt(role, fact.rest.scale) } };
  if (fact.kind === 'corrected') return { ...fact, corrects: seq, note: `${role}: ${fact.note}` };
  if (fact.kind === 'step-done' && fact.weighedBack) {
    return { ...fact, weighedBack: { ...fact.weighedBack, scale: scaleAt(role, fact.weighedBack.scale) } };
  }
  if ('scale' in fact && fact.scale !== null) return { ...fact, scale: scaleAt(role, fact.scale) } as Fact;
  return fact;
}
