/** Draws of which no empty pan has shown yet whether the zero of their scale moved under them. */
import type { BatchState } from './batchState.ts';
import type { Fact } from './fact.ts';

/** Draws that a fact gives up to look for: they stay unseen, and are told as such. */
export function zeroUnseenIn(fact: Fact): readonly string[] {
  const isTold = fact.kind === 'finished' || fact.kind === 'abandoned' || fact.kind === 'resumed';
  return isTold ? (fact.zeroUnseen ?? []) : [];
}

/**
 * Draws that are still to be seen after, once more has happened.
 * @param next the state after the fact, with those of an earlier state
 */
export function unseenAfter(before: BatchState, next: BatchState, fact: Fact): readonly string[] {
  const gone = [...(fact.zeroSeen ?? []), ...zeroUnseenIn(fact)];
  // What is taken back goes to a state before it; what was seen meanwhile stays seen.
  const kept = fact.kind === 'undone' ? next.unseen.filter((draw) => before.unseen.includes(draw)) : next.unseen;
  const left = kept.filter((draw) => !gone.includes(draw) && next.draws[draw]?.net != null);
  return fact.kind === 'weighed' && next.draws[fact.draw]
    ? [...left.filter((draw) => draw !== fact.draw), fact.draw]
    : left;
}
