/**
 * Phases of a batch that another bench weighs: who owns them, what may be handed over, and what has to wait for them.
 */
import type { Task } from '../plan/model.ts';
import type { BatchState, HandOver } from './batchState.ts';
import { isDone } from './isDone.ts';

/** The hand-over by its number. */
export function handOverOf({ handOvers }: BatchState, number: number): HandOver | undefined {
  return handOvers.find((each) => each.number === number);
}

/** Whether its phases belong to the other bench: until they are brought in, or called back for good. */
export function isOut({ stands }: HandOver): boolean {
  return stands === 'out' || stands === 'calling';
}

/** The hand-over that a phase is out by; undefined while it is this bench's. */
export function outBy({ handOvers }: BatchState, phase: string): HandOver | undefined {
  return handOvers.find((each) => isOut(each) && each.phases.includes(phase));
}

/** Whether a task is another bench's: handed over, or weighed anew on a scale that stands there. */
export function isElsewhere(state: BatchState, task: Task): boolean {
  if (outBy(state, task.phase)) return true;
  return task.kind === 'draw' && state.plan.scales[task.scale]?.bench !== undefined && !isDone(state, task);
}

/** Vessels that a task has to do with; a step without one is done in its phase's. Cups and stock jars stay at their bench. */
function vesselsOf({ plan }: Pick<BatchState, 'plan'>, task: Task): string[] {
  const ofPhase = plan.phases.find(({ id }) => id === task.phase)?.vessel;
  if (task.kind === 'draw') return [task.vessel];
  return [task.vessel ?? ofPhase, task.into].filter((id) => id != null);
}

/**
 * The task that this bench can do now, in the order of the plan: a task that needs a vessel which is elsewhere waits, and so
 * does all that comes after it in its phase or in its vessels. undefined where all is done, or all that is left waits.
 * @param after as if this one were done
 */
export function firstHere(state: BatchState, after?: Task): Task | undefined {
  const phases = new Set<string>();
  const vessels = new Set<string>();
  for (const task of state.plan.tasks) {
    if (task.id === after?.id || isDone(state, task)) continue;
    const own = vesselsOf(state, task);
    const waits =
      isElsewhere(state, task) || phases.has(task.phase) || own.some((vessel) => vessels.has(firstOf(vessel)));
    if (!waits) return task;
    phases.add(task.phase);
    for (const vessel of own) vessels.add(firstOf(vessel));
  }
  return undefined;
}

/** A second vessel like one that was full goes where the first goes. */
function firstOf(vessel: string): string {
  return vessel.replace(/\+\d+$/, '');
}

/** Whether nothing is left to do here while another bench weighs. */
export function isWaiting(state: BatchState): boolean {
  return state.plan.tasks.some((task) => !isDone(state, task)) && firstHere(state) === undefined;
}

/**
 * Why phases can't be handed over, a sentence; undefined where they can. Nothing of them may be begun, and they must work
 * in vessels of their own: what another bench fills, this one touches only after it has come back.
 */
export function whyNotHandOver(state: BatchState, phases: readonly string[]): string | undefined {
  const { plan } = state;
  if (state.ended !== 'open') return 'The batch has ended.';
  if (state.partOf) return 'This is part of a batch that another bench began: only that bench hands phases over.';
  const unknown = phases.find((phase) => !plan.phases.some(({ id }) => id === phase));
  if (unknown !== undefined) {
    return `The batch has no phase ${unknown}. There are: ${plan.phases.map(({ id }) => id).join(', ')}.`;
  }
  const out = phases.find((phase) => outBy(state, phase));
  if (out !== undefined) return `Phase ${out} is at ${outBy(state, out)?.to} already.`;
  const tasks = plan.tasks.filter(({ phase }) => phases.includes(phase));
  const empty = phases.find((phase) => !tasks.some((task) => task.kind === 'draw' && task.phase === phase));
  if (empty !== undefined) return `Nothing is weighed in phase ${empty}.`;
  const begun = tasks.find((task) => isBegun(state, task));
  if (begun) return `Phase ${begun.phase} has been begun here: it can't be handed over any more.`;
  return whyNotApart(state, phases);
}

function isBegun({ draws, steps }: BatchState, { id, kind }: Task): boolean {
  if (kind === 'step') return steps[id] !== undefined;
  const draw = draws[id];
  return draw !== undefined && (draw.base !== null || draw.net !== null || draw.status !== 'open');
}

/** A vessel of theirs that something is in, or that another phase works with before they are done with it. */
function whyNotApart(state: BatchState, phases: readonly string[]): string | undefined {
  const { plan } = state;
  const handed = new Set(plan.tasks.filter(({ phase }) => phases.includes(phase)));
  const last = plan.tasks.findLastIndex((task) => handed.has(task));
  const theirs = new Set([...handed].flatMap((task) => vesselsOf(state, task)));
  for (const vessel of theirs) {
    const name = plan.vessels[vessel]?.name ?? vessel;
    if ((state.vessels[vessel]?.holds ?? []).length > 0) {
      return `The ${name} has something in it already, so phase ${phases.join(' and ')} can't be weighed at another bench.`;
    }
    const other = plan.tasks
      .slice(0, last)
      .find((task) => !handed.has(task) && !isDone(state, task) && vesselsOf(state, task).includes(vessel));
    if (other) {
      const these = `phase ${phases.join(' and ')}`;
      return `Phase ${other.phase} works with the ${name} before ${these} is done: ${these} can only be handed over together with it, or not at all.`;
    }
  }
  return undefined;
}
