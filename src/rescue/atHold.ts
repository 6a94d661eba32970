/** All that a rescue at the bench is worked out from, put together: the formula as it is now, what has been used. */
import type { BatchState } from '../facts/batchState.ts';
import type { Fact } from '../facts/fact.ts';
import type { Formula } from '../formula/model.ts';
import type { Workshop } from '../workshop/model.ts';
import type { Held, Rescue } from './model.ts';
import { planRescue } from './rescue.ts';
import { stockUsed } from './stockUsed.ts';

export interface AtHold {
  /** With the lots as this batch found them. */
  readonly workshop: Workshop;
  /** The formula's file as it is now; a sentence where it can't be read. */
  readonly formula: Formula | string;
  readonly state: BatchState;
  readonly held: Held | null;
  /** All facts of the batch, in order. */
  readonly facts: readonly Fact[];
  /** `YYYY-MM-DD`. */
  readonly today: string;
}

/** No scale-up at all, for one reason. @param why a sentence */
export function noScaleUp(why: string): Rescue {
  const reasons = [{ where: null, why, instead: null }];
  const say = `No scale-up, because: ${why}`;
  return { offers: [], refused: [{ meant: 'within bands', wholeBars: false, mass: null, reasons, say }] };
}

/** Every scale-up that is open for what is held on the pan, or why there is none. */
export function rescueAtHold({ workshop, formula, state, held, facts, today }: AtHold): Rescue {
  const [begun] = facts;
  if (begun?.kind !== 'batch-started') return noScaleUp('The log of this batch does not begin with its plan.');
  if (typeof formula === 'string') return noScaleUp(formula);
  const was = begun.plan.formula.version;
  if (formula.version !== was) {
    return noScaleUp(
      `The formula's file is of version ${formula.version} now, and this batch was begun by version ${was}.`,
    );
  }
  return planRescue({ workshop, formula, state, held, used: stockUsed(facts, workshop), today });
}
