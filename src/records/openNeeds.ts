/** What the open batches of a log are still to take out of their lots. */
import { stateOf } from '../facts/apply.ts';
import { type Needed, stillNeeded } from '../stock/stillNeeded.ts';
import type { BatchLog } from './batchLog.ts';

/** @returns in the order in which the batches were begun; of a batch that can't be read nothing is known */
export function openNeeds(log: Pick<BatchLog, 'openBatches' | 'facts'>): readonly Needed[] {
  return log.openBatches().flatMap(({ id }) => {
    try {
      return stillNeeded(stateOf(log.facts(id)));
    } catch {
      return [];
    }
  });
}
