/** Reads one batch of another bench from the shared history, and proves it: from its first fact to that bench's last. */
import type { Fact } from '../../facts/fact.ts';
import type { Seal } from '../batchLog.ts';
import { checkRow, FIRST_LINK, link, UNREAD } from '../chain.ts';
import { HistoryTrouble, wordsOf } from './historyTrouble.ts';
import type { LogRow, SharedHistory } from './sharedHistory.ts';

/** Facts that are asked for at once. */
const PAGE = 500;

export interface TheirBatch {
  /** In order, as that bench's log has them. */
  readonly facts: readonly Fact[];
  /** The last of them. */
  readonly seal: Seal;
  /** How far that bench's log has come: no fact up to there is missing, and each follows from the one before. */
  readonly head: Seal;
}

/**
 * @param name the bench's role, for words
 * @returns undefined where that bench has sent no such batch
 * @throws HistoryTrouble `unsound` where a fact does not hold or one is missing
 */
export async function readBatch(
  history: SharedHistory,
  bench: string,
  name: string,
  batch: string,
): Promise<TheirBatch | undefined> {
  const first = await history.placeOf(bench, batch);
  if (first === null) return undefined;
  // The fact before it tells the hash that the first one follows from.
  const rows = await rowsFrom(history, bench, Math.max(0, first - 2));
  const before = first === 1 ? undefined : rows.shift();
  if (first > 1 && before?.seq !== first - 1) throw unsound(name, first - 1, ['it is missing']);
  let head: Seal = { seq: first - 1, hash: before?.hash ?? FIRST_LINK };
  let seal: Seal | undefined;
  const facts: Fact[] = [];
  for (const row of rows) {
    const before = head;
    if (row.seq !== before.seq + 1) throw unsound(name, before.seq + 1, ['it is missing']);
    head = { seq: row.seq, hash: row.hash };
    if (isOfAnother(row, before.hash, batch)) continue;
    const checked = checkRow(row, [before.hash]);
    if (!checked.ok) throw unsound(name, row.seq, checked.faults);
    if (row.batch !== batch) continue;
    facts.push(checked.fact);
    seal = head;
  }
  return seal && { facts, seal, head };
}

/**
 * Whether a fact is proved to be none of the batch's. What else it says does not matter then: a newer bismar there may write, of
 * other batches, what this one can't read.
 */
function isOfAnother({ body, hash }: LogRow, before: string, batch: string): boolean {
  if (link(before, body) !== hash) return false;
  try {
    const of: unknown = (JSON.parse(body) as { batch?: unknown } | null)?.batch;
    return typeof of === 'string' && of !== batch;
  } catch {
    return false;
  }
}

async function rowsFrom(history: SharedHistory, bench: string, after: number): Promise<LogRow[]> {
  const rows: LogRow[] = [];
  for (;;) {
    const page = await history.facts(bench, rows.at(-1)?.seq ?? after, PAGE);
    rows.push(...page);
    if (page.length < PAGE) return rows;
  }
}

function unsound(name: string, seq: number, faults: readonly string[]): HistoryTrouble {
  const isUnread = faults.some((fault) => fault.startsWith(UNREAD));
  return new HistoryTrouble(
    'unsound',
    `Fact ${seq} of the bench ${wordsOf(name)} in the shared history can't be used (${faults.join('; ')}). Nothing of it was taken over; that bench's own log has it.${isUnread ? ' Is bismar newer there? Then make this one as new.' : ''}`,
  );
}
