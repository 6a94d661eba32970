/** What the bench asks when too much is held: how the batch could grow. Reads the log, and the files as they are now. */
import type { BatchState } from '../../facts/batchState.ts';
import { isOut } from '../../facts/handOver.ts';
import type { Formula } from '../../formula/model.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { stamp } from '../../records/stamp.ts';
import { noScaleUp, rescueAtHold } from '../../rescue/atHold.ts';
import type { Rescue } from '../../rescue/model.ts';
import type { RescueAsked } from '../../weighing/findRescue.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending } from '../exit.ts';
import { loadFormula } from '../folder.ts';
import { stockedWithout } from '../stock/stockNow.ts';

export interface RescueFrom {
  readonly workshop: Workshop;
  readonly formula: Formula | string;
  readonly log: BatchLog;
}

/** Answers after the screen has had its turn; usually within 30 ms, for the largest search within a second. */
export function rescueFinder({ workshop, formula, log }: RescueFrom): (asked: RescueAsked) => Promise<Rescue> {
  return async ({ batch, held }) => {
    await new Promise(setImmediate);
    const elsewhere = whyNotNow(batch);
    if (elsewhere !== undefined) return noScaleUp(elsewhere);
    const today = stamp(new Date()).slice(0, 10);
    const book = stockedWithout(log, batch.batch, workshop);
    return rescueAtHold({ workshop: book, formula, state: batch, held, facts: log.facts(batch.batch), today });
  };
}

/** A batch grows only while all of it is at one bench. */
function whyNotNow({ partOf, handOvers }: BatchState): string | undefined {
  if (partOf) return `This is part of a batch of ${partOf.role}, and its size is that bench's.`;
  const out = handOvers.find(isOut);
  return out && `Phase ${out.phases.join(' and ')} is weighed at ${out.to} meanwhile.`;
}

/** The formula of a batch that was begun earlier, or a sentence why it can't be had any more. */
export function formulaNow(folder: string, id: string, workshop: Workshop): Formula | string {
  try {
    return loadFormula(folder, id, workshop);
  } catch (error) {
    if (error instanceof Ending) return `The formula ${id} can't be read as it is now: ${error.message}`;
    throw error;
  }
}
