/** Quiet lines about the scales: nothing is to be done about them now, but the maker should know. */
import { shiftInWords } from '../../facts/shiftInWords.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';

/** A zero that was found to have moved is told until the next draw is accepted. */
export function noticesFor({ context: { batch } }: WeighingSnapshot): readonly string[] {
  const { lastShift, lastAccepted, plan } = batch;
  if (lastShift === null || lastShift.seq < (lastAccepted?.seq ?? 0)) return [];
  return [`${shiftInWords(lastShift, plan)}.`];
}
