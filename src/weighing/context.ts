/** What the weighing chart carries with it, and what may be asked of its states. */
import type { BatchState } from '../facts/batchState.ts';
import type { Happened } from '../facts/fact.ts';
import type { Pans } from './pans.ts';
import type { RescueScene } from './rescueNow.ts';
import type { UndoScene } from './undoing.ts';

export interface WeighingContext extends UndoScene, RescueScene {
  readonly batch: BatchState;
  readonly pans: Pans;
  /** What is being written, or waits for a second try at writing. */
  readonly pending: readonly Happened[];
  /** The sentence of the last failed write. */
  readonly failure: string | null;
  /** The draw that `loadsAtStart` belongs to. */
  readonly lookingFor: string | null;
  /** The scale that the log says is lost. */
  readonly lostScale: string | null;
  /** What was accepted last has just been taken back; nothing is accepted until the maker goes on. */
  readonly justUndone: boolean;
  /** Who weighs: nobody is their own witness. */
  readonly by: string;
}

export interface WeighingInput {
  readonly batch: BatchState;
  readonly pans?: Pans;
  readonly by?: string;
}

/** What the screen and the tests may ask of a state. */
export type WeighingTag = 'hold' | 'mayAccept' | 'recording';
