/** Batches that were begun and neither finished nor ended for good: none may be forgotten. */
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact } from '../../facts/fact.ts';
import type { BatchEntry } from '../../records/batchLog.ts';
import { hint } from './hint.ts';

/** Most batches named in one line. */
const MOST_NAMED = 2;

/**
 * What is open, how to go on with it and how to give it up, in lines; none when nothing is open.
 *
 * @param factsOf of a batch; by them a part of another bench's batch is told
 */
export function openBatchLines(
  open: readonly BatchEntry[],
  folder: string,
  factsOf: (batch: string) => readonly Fact[],
): string[] {
  if (open.length === 0) return [];
  const lines = open.map(({ id, formula, started }) => {
    const begun = `begun ${started.slice(0, 10)} ${started.slice(11, 16)}`;
    const joined = factsOf(id).find((fact) => fact.kind === 'joined');
    const part = joined ? `part of ${joined.role}'s batch ${joined.of}, ` : '';
    return cleanText(
      `Open: batch ${id} of ${formula.name}, ${part}${begun}. Go on with: ${hint(`resume ${id}`, folder)}`,
    );
  });
  return [...lines, 'To give one up: go on with it, and press x (stop), e (end it for good), Enter. Its record stays.'];
}

/** The same in one line for the screen of another batch; none when nothing is open. */
export function openBatchNotes(open: readonly BatchEntry[]): string[] {
  if (open.length === 0) return [];
  const named = open.slice(-MOST_NAMED).map(({ id }) => id);
  const more = open.length > MOST_NAMED ? ` and ${open.length - MOST_NAMED} more` : '';
  return [`Still open: ${named.join(', ')}${more}. q shows how to go on.`];
}
