/** Whether bars of a batch may be weighed off now; refused in words before anything is recorded. */
import type { Bars } from '../facts/bars.ts';
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

/** @throws Ending where it was said that no more bars come: only a word of the maker opens that again */
export function mustGoOn(batch: string, bars: Pick<Bars, 'ended'> | null, folder: string): void {
  if (bars === null || bars.ended === null) return;
  throw new Ending(
    EXIT.failed,
    `The bars of batch ${cleanText(batch)} were ended. Nothing was recorded. More bars after all: ${hint(`portion ${batch} --more`, folder)}`,
  );
}
