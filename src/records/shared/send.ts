/**
 * Sends a bench's facts to the shared history, from where the history says that the bench has come. The log itself is
 * the outbox: what was not confirmed is simply sent again, and the server passes over what it has. So a connection that
 * is cut at any moment loses and doubles nothing.
 */
import type { BatchLog, Seal } from '../batchLog.ts';
import { FIRST_LINK, link } from '../chain.ts';
import { LogTrouble } from '../logTrouble.ts';
import { HistoryTrouble, TWO_BENCHES } from './historyTrouble.ts';
import type { LogRow, SharedHistory } from './sharedHistory.ts';

/** Facts of one transaction: few, as whoever weighs must not wait for them to be put into words. */
const PAGE = 50;
/** Text of one transaction, characters; a single fact may be longer. */
const PAGE_TEXT = 200_000;

/** What is read of the bench's own log. */
export type OwnLog = Pick<BatchLog, 'rows' | 'seal'>;

/**
 * How far the history has come, once it is sure that this log goes on from there.
 * @throws HistoryTrouble `refused` when it does not: two benches with one id, or another log than before
 */
export async function agreedHead(log: OwnLog, bench: string, history: SharedHistory): Promise<Seal | null> {
  await history.enter(bench);
  const head = await history.head(bench);
  if (head === null) return null;
  const last = log.seal()?.seq ?? 0;
  if (head.seq > last) {
    throw refused(`has ${head.seq} facts of this bench, and its own log only ${last}`);
  }
  const [own] = log.rows(head.seq - 1, 1);
  if (own?.hash !== head.hash) throw refused(`has another fact ${head.seq} of this bench than its own log`);
  return head;
}

function refused(what: string): HistoryTrouble {
  return new HistoryTrouble(
    'refused',
    `The shared history ${what}. Nothing is sent; weights are safe here. ${TWO_BENCHES}`,
  );
}

/**
 * Sends all that has not arrived yet, page by page.
 * @param from what the history has, as `agreedHead` says
 * @param onArrived called after each page with what the history has now
 * @throws HistoryTrouble; LogTrouble `damaged` before a fact that does not hold is sent
 */
export async function sendAfter(
  log: OwnLog,
  bench: string,
  history: SharedHistory,
  from: Seal | null,
  onArrived: (head: Seal) => void = () => {},
): Promise<Seal | null> {
  let head = from;
  for (;;) {
    const rows = page(log.rows(head?.seq ?? 0, PAGE));
    const last = rows.at(-1);
    if (!last) return head;
    prove(rows, head?.hash ?? FIRST_LINK);
    await history.append(bench, rows);
    head = { seq: last.seq, hash: last.hash };
    onArrived(head);
  }
}

function page(rows: readonly LogRow[]): LogRow[] {
  let room = PAGE_TEXT;
  const fits = rows.findIndex(({ body }, index) => {
    room -= body.length;
    return room < 0 && index > 0;
  });
  return fits < 0 ? [...rows] : rows.slice(0, fits);
}

function prove(rows: readonly LogRow[], before: string): void {
  let previous = before;
  for (const { seq, body, hash } of rows) {
    if (link(previous, body) !== hash) {
      throw new LogTrouble(
        'damaged',
        `Fact ${seq} in this bench's own log is damaged, and was not sent to the shared history. Copy the log as it is, and run \`bismar verify\`.`,
      );
    }
    previous = hash;
  }
}
