/** Whether bars of a batch may be weighed off now; refused in words before anything is recorded. */
import type { Bars } from '../../facts/bars.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { BatchEntry } from '../../records/batchLog.ts';
import type { WholeOf } from '../../records/record/recordBenches.ts';
import { Ending, EXIT } from '../exit.ts';
import { hint } from '../weigh/hint.ts';

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

/** @param instead what is done where the whole batch is, a sentence without its stop @throws Ending for a part of a batch of another bench */
export function mustBeWhole(
  { batch, partOf }: { readonly batch: string; readonly partOf: Pick<WholeOf, 'bench' | 'batch'> | null },
  instead: string,
): void {
  if (partOf === null) return;
  throw new Ending(
    EXIT.failed,
    cleanText(`Batch ${batch} is part of batch ${partOf.batch} of ${partOf.bench}. ${instead}. Nothing was recorded.`),
  );
}
