/** The actor that works out the way out of a hold. The chart knows only this shape; the station hands in the real one. */
import { fromPromise } from 'xstate';
import type { BatchState } from '../facts/batchState.ts';
import type { Held, Rescue } from '../rescue/model.ts';

/** What is asked: the batch as it is, and what is too much in it. */
export interface RescueAsked {
  readonly batch: BatchState;
  readonly held: Held | null;
}

/** Nothing is offered, and nothing is said of why. */
export const NO_RESCUE: Rescue = { offers: [], refused: [] };

/** Resolves with what can be done. It may take a second: it must not keep the readings waiting. */
export const findRescue = fromPromise<Rescue, RescueAsked>(async () => NO_RESCUE);
