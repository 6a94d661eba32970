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
  'scale-lost',
  'scale-back',
  'corrected',
  'returned',
];

/** Facts that stay true when the acceptance before them is taken back. */
const STAYS_TRUE: readonly Fact['kind'][] = ['scales-stand', 'zero-shifted', 'measured'];

/** Facts that go with what is taken back: they followed from it. */
const FOLLOWS: readonly Fact['kind'][] = ['placed', 'step-begun', 'sum-checked', 'jar-weighed', 'returned'];

/**
 * What can be taken back after one more fact.
 * @param changed the fact changed the state at all
 * @param applied what a fact does to a state
 */
export function undoableAfter(
  before: BatchState,
  fact: Fact,
  changed: boolean,
  applied: (state: BatchState, fact: Fact) => BatchState,
): LastAccepted | null {
  const last = before.undoable;
  if (!changed || last === null) return changed ? accepted(before, fact) : last;
  if (STAYS_TRUE.includes(fact.kind)) return { ...last, before: applied(last.before, fact) };
  if (LOOKING_ON.includes(fact.kind) || isAgreed(fact)) return last;
  return accepted(before, fact);
}

/** It was weighed to look, and was right: no decision. */
function isAgreed(fact: Fact): boolean {
  return (fact.kind === 'sum-checked' || fact.kind === 'jar-weighed') && fact.reason === null;
}

function accepted(before: BatchState, fact: Fact): LastAccepted | null {
  const kept = { ...before, undoable: null }; // one step back is enough
  switch (fact.kind) {
    case 'weighed':
    case 'tipped':
      return { seq: fact.seq, of: fact.kind, id: fact.draw, before: kept };
    case 'step-done':
      return { seq: fact.seq, of: fact.kind, id: fact.step, before: kept };
    default:
      return null;
  }
}

/** The state with the last acceptance taken back; unchanged when the fact names another one. */
export function undone(state: BatchState, fact: Fact & { kind: 'undone' }): BatchState {
  const last = state.undoable;
  if (last === null || last.seq !== fact.corrects) return state;
  return last.before;
}

/** The facts that still stand: without those that were taken back, what followed from them, and the words that they were. */
export function standingFacts(facts: readonly Fact[]): readonly Fact[] {
  const spans = facts.flatMap((fact) => (fact.kind === 'undone' ? [{ from: fact.corrects, to: fact.seq }] : []));
  const isGone = ({ kind, seq }: Fact) =>
    kind === 'undone' ||
    spans.some(({ from, to }) => seq === from || (seq > from && seq < to && FOLLOWS.includes(kind)));
  return facts.filter((fact) => !isGone(fact));
}
