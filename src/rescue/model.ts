/**
 * A rescue: too much has gone in and can't be taken back, so the whole batch grows until it is right again. Plain
 * data; made by `rescue.ts`.
 */
import type { BatchState } from '../facts/batchState.ts';
import type { Formula, Way } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Plan, Refusal } from '../plan/model.ts';
import type { Workshop } from '../workshop/model.ts';

/**
 * What a scale-up is measured by.
 * - `exact`: every draw in its proportion; the factor is the largest of in / target.
 * - `within bands`: what is in may lie at the top of its band; smaller, so less is spent.
 */
export type Meant = 'exact' | 'within bands';

/** Too much that is on the pan and not accepted. */
export interface Held {
  readonly draw: string;
  readonly net: Mass;
}

/** What has left each lot, by `ingredient lot`; see `stockUsed.ts`. */
export type Used = ReadonlyMap<string, Mass>;

export interface RescueInput {
  /** With the lots as the book had them when the batch began. */
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly state: BatchState;
  /** null when all that is too much was accepted. */
  readonly held: Held | null;
  readonly used: Used;
  /** `YYYY-MM-DD`, for the lots' last days. */
  readonly today: string;
}

/** More of an ingredient that is in already. */
export interface TopUp {
  readonly draw: string;
  readonly ingredient: string;
  readonly name: string;
  readonly amount: Mass;
  /** What the top-up itself must weigh, so that the whole is in its band. */
  readonly low: Mass;
  readonly high: Mass;
  readonly lot: string;
  /** What the lot should hold once the batch is done. */
  readonly lotLeft: Mass;
  readonly scale: string;
  readonly way: Way;
  readonly on: string;
  readonly vessel: string;
}

/** A draw whose target grows before it is weighed, or while it is on the pan. */
export interface Raised {
  readonly draw: string;
  readonly name: string;
  readonly from: Mass;
  readonly to: Mass;
}

/** What is in and stays as it is, within its new band. */
export interface LeftAlone {
  readonly draw: string;
  readonly name: string;
  readonly amount: Mass;
  readonly target: Mass;
  readonly low: Mass;
  readonly high: Mass;
}

/** A batch size that makes everything right again. */
export interface Offer {
  readonly meant: Meant;
  /** Rounded up to whole bars. */
  readonly wholeBars: boolean;
  /** The factor is exactly `mass / from.mass`. */
  readonly mass: Mass;
  /** Whole bars that it gives; null for a craft without bars. */
  readonly bars: number | null;
  readonly from: { readonly mass: Mass; readonly bars: number | null };
  /** How much more is weighed in all. */
  readonly extra: Mass;
  /** Name of the ingredient that asks for so much. */
  readonly setBy: string;
  readonly topUps: readonly TopUp[];
  readonly raised: readonly Raised[];
  readonly leftAlone: readonly LeftAlone[];
  /** The whole batch, planned anew: what is done, top-ups, then what is still to do. */
  readonly plan: Plan;
  /** One line with all that matters. */
  readonly say: string;
}

/** A size that was asked for and can't be had. */
export interface Refused {
  readonly meant: Meant;
  readonly wholeBars: boolean;
  /** The smallest size that would be needed; null when it can't be worked out. */
  readonly mass: Mass | null;
  readonly reasons: readonly Refusal[];
  /** "No scale-up ...: because ...", one line. */
  readonly say: string;
}

export interface Rescue {
  /** The smallest first. */
  readonly offers: readonly Offer[];
  readonly refused: readonly Refused[];
}
