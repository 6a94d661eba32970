/** All that the weighing chart can be told: happenings on the pans and the maker's answers. No samples. */

import type { Fact } from '../facts/fact.ts';
import type { BroughtIn } from '../facts/handOverFacts.ts';
import type { Offer } from '../rescue/model.ts';
import type { Happening } from '../signal/happening.ts';

/** A happening as a chart event: `pan.settled`, `pan.lifted` and so on. */
export type PanEvent = {
  [K in Happening['kind']]: { type: `pan.${K}` } & Extract<Happening, { kind: K }>;
}[Happening['kind']];

export type Answer =
  /** Yes, go on: one key for every ordinary confirmation. */
  | { readonly type: 'answer.yes' }
  /** Stop, something is wrong. */
  | { readonly type: 'answer.stop' }
  /** Keep a weight outside its band, for a reason. */
  | { readonly type: 'answer.keep'; readonly reason: string }
  /** Too much stays in, and the batch grows as offered. */
  | { readonly type: 'answer.rescue'; readonly offer: Offer }
  /** Give up what is in the cup, on the spoon or in the vessel. */
  | { readonly type: 'answer.give-up' }
  /** The lot is empty. */
  | { readonly type: 'answer.lot-ended' }
  /** The lot is empty: go on with another one. */
  | { readonly type: 'answer.other-lot'; readonly lot: string }
  /** No more fits into the vessel or cup. */
  | { readonly type: 'answer.full' }
  /** A second person has looked at the weight. */
  | { readonly type: 'answer.witness'; readonly name: string }
  /** Once more (another burst). */
  | { readonly type: 'answer.again' }
  /** What was accepted last was not right: take it back. */
  | { readonly type: 'answer.undo' }
  /** End this batch unfinished for good. */
  | { readonly type: 'answer.abandon' };

/** The moment in which the last acceptance can be taken back is over. */
export interface UndoOver {
  readonly type: 'undo.over';
}

/** What another bench weighed of this batch is done, and can be brought in. */
export interface PartDone {
  readonly type: 'part.done';
  readonly broughtIn: BroughtIn;
}

/** Facts that were written beside the walk: they change what is known, and nothing of what is to be done. */
export interface FactsNoted {
  readonly type: 'fact.noted';
  readonly facts: readonly Fact[];
}

export type WeighingEvent = PanEvent | Answer | UndoOver | PartDone | FactsNoted;

/** Wraps a happening for the chart. */
export function panEvent(happening: Happening): PanEvent {
  return { type: `pan.${happening.kind}`, ...happening } as PanEvent;
}
