/**
 * Facts about phases of a batch that another bench weighs. The bench that began the batch says who owns which phase, in its
 * own log: so each draw has one owner at any moment, also while no bench can hear of another.
 */
import type { HappenedHere } from './fact.ts';

/** A fact of another bench, as its own log has it. */
export type ToldFact = HappenedHere & {
  readonly batch: string;
  readonly seq: number;
  readonly at: string;
  readonly by: string;
};

/** What happened between two benches, before it has a place in the log. */
export type HandOverHappened =
  /** From here on these phases belong to another bench. Hand-overs of a batch are numbered from 1. */
  | {
      readonly kind: 'handed-over';
      readonly number: number;
      readonly phases: readonly string[];
      /** The other bench's role in the shared history. */
      readonly to: string;
    }
  /** They are wanted back: who has not joined by now may not do so any more. They still belong to the other bench. */
  | { readonly kind: 'calling-back'; readonly number: number }
  /** They belong to this bench again. */
  | {
      readonly kind: 'called-back';
      readonly number: number;
      /**
       * Why nothing that the other bench may have weighed can be in the batch, in the maker's words; null where the shared
       * history showed that it had begun nothing, or had given up what it had begun.
       */
      readonly reason: string | null;
    }
  /** This batch weighs phases of another bench's batch. It stands right behind the start. */
  | {
      readonly kind: 'joined';
      /** The bench that began the batch: its id and role. */
      readonly bench: string;
      readonly role: string;
      readonly of: string;
      readonly number: number;
      /** How far that bench's log was read, and its hash there. */
      readonly seal: { readonly seq: number; readonly hash: string };
      /** In a log of all benches: the batch that its draws were brought into, where they are told. */
      readonly broughtInto?: string | undefined;
    }
  /** The shared history has the joining, and still had the hand-over after that: from here on it is this bench's. */
  | { readonly kind: 'join-confirmed' };

/**
 * What another bench has weighed of this batch is in it now: all facts of that bench's part, as they are, up to its end. What
 * left lots there is counted there.
 */
export interface BroughtIn {
  readonly kind: 'brought-in';
  readonly number: number;
  /** The other bench: its id, its role, and the part's name there. */
  readonly bench: string;
  readonly role: string;
  readonly part: string;
  /** The last of the facts, and its hash there. */
  readonly seal: { readonly seq: number; readonly hash: string };
  readonly facts: readonly ToldFact[];
}
