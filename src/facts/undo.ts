/**
 * Taking back what was accepted last. For a moment after an acceptance the state before it is kept; a fact `undone`
 * goes back to it. Whatever is more than looking on (a vessel put on, a clock started) ends that moment.
 */
import type { BatchState } from './batchState.ts';
import type { Fact, Undoable } from './fact.ts';

/** What can be taken back, and the state before it. */
export interface LastAccepted {
  readonly seq: number;
  readonly of: Undoable;
  /** The draw or step. */
  readonly id: string;
  readonly before: BatchState;
}

/** Facts after which the last acceptance can still be taken back: nothing has been weighed or moved since. */
const LOOKING_ON: readonly Fact['kind'][] = [
  'placed',
  'step-begun',
  'resumed',
  'scales-stand',
  'scale-lost',
  'scale-back',
  'measured',
  'corrected',
];

/** What can be taken back after one more fact. @param changed the fact changed the state at all */
export function undoableAfter(before: BatchState, fact: Fact, changed: boolean): LastAccepted | null {
  if (!changed) return before.undoable;
  const kept = { ...before, undoable: null }; // one step back is enough
  switch (fact.kind) {
    case 'weighed':
    case 'tipped':
      return { seq: fact.seq, of: fact.kind, id: fact.draw, before: kept };
    case 'step-done':
      return { seq: fact.seq, of: fact.kind, id: fact.step, before: kept };
    case 'sum-checked':
      return fact.reason === null ? before.undoable : null; // right: it has only been looked at
    default:
      return LOOKING_ON.includes(fact.kind) ? before.undoable : null;
  }
}

/** The state with the last acceptance taken back; unchanged when the fact names another one. */
export function undone(state: BatchState, fact: Fact & { kind: 'undone' }): BatchState {
  const last = state.undoable;
  if (last === null || last.seq !== fact.corrects) return state;
  return { ...last.before, scales: state.scales };
}

/** The facts that still stand: without those that were taken back, and without the words that they were. */
export function standingFacts(facts: readonly Fact[]): readonly Fact[] {
  const gone = new Set(facts.flatMap((fact) => (fact.kind === 'undone' ? [fact.corrects] : [])));
  return facts.filter((fact) => fact.kind !== 'undone' && !gone.has(fact.seq));
}
