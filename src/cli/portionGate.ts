/** Whether bars of a batch may be weighed off now; refused in words before anything is recorded. */
import { cleanText } from '../facts/cleanText.ts';
import type { BatchEntry } from '../records/batchLog.ts';
import { Ending, EXIT } from './exit.ts';
import { hint } from './hint.ts';

/**
 * @param batch as the log's list has it
 * @param folder the workshop's folder, as it was given
 * @throws Ending where there is no whole mix to make bars of
 */
export function mustBeMixed({ id, status }: Pick<BatchEntry, 'id' | 'status'>, folder: string): void {
  const name = cleanText(id);
  if (status === 'abandoned') {
    throw new Ending(EXIT.failed, `Batch ${name} was given up: it has no bars. Nothing was recorded.`);
  }
  if (status === 'open') {
    throw new Ending(
      EXIT.failed,
      `Batch ${name} is not weighed to its end yet, so there is no whole mix to make bars of. Nothing was recorded. Go on with: ${hint(`resume ${id}`, folder)}`,
    );
  }
}
