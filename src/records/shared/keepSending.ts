/**
 * Sends a bench's facts beside its weighing, for as long as it weighs. Nothing waits for it: it looks into the log now
 * and then, and whatever goes wrong with the server is told in one line and tried again.
 */
import type { Clock } from '../../signal/clock.ts';
import type { Seal } from '../batchLog.ts';
import { LogTrouble } from '../logTrouble.ts';
import { HistoryTrouble, historyTroubleOf, isLasting } from './historyTrouble.ts';
import { agreedHead, type OwnLog, sendAfter } from './send.ts';
import type { SharedHistory } from './sharedHistory.ts';

/** How often the log is looked at, milliseconds. */
const LOOK_MS = 500;
/** How long until the next try after the first that failed; twice as long after each further one. */
const RETRY_MS = 1_000;
const LONGEST_RETRY_MS = 60_000;
/** Troubles that a person has to mend are not tried often. */
const SLOW: ReadonlySet<HistoryTrouble['trouble']> = new Set(['login', 'not-set-up', 'unsound']);

/** How the sending stands. */
export interface SendingState {
  /** Facts in the log that have not arrived; null while it is not known how far the history has come. */
  readonly waiting: number | null;
  /** What is wrong, and since when (of the wall clock); null while nothing is. */
  readonly trouble: { readonly fault: HistoryTrouble | LogTrouble; readonly since: Date } | null;
}

export interface SendingOptions {
  readonly log: OwnLog;
  /** The bench's id; it may throw a LogTrouble. */
  readonly bench: () => string;
  /** Connects; gives up at once when it is told to. */
  readonly connect: (signal: AbortSignal) => Promise<SharedHistory>;
  readonly clock: Clock;
  /** The wall clock. */
  readonly now: () => Date;
  readonly onChange?: (state: SendingState) => void;
  /** Asked of the same connection now and then, after what was to be sent. */
  readonly alongside?: ((history: SharedHistory) => Promise<void>) | undefined;
}

export interface Sending {
  state(): SendingState;
  /** Ends after what is under way. @param patienceMs waits at most so long for what has not arrived yet */
  stop(patienceMs?: number): Promise<void>;
}

export function keepSending({ log, bench, connect, clock, now, onChange, alongside }: SendingOptions): Sending {
  let history: SharedHistory | undefined;
  let head: Seal | null | undefined;
  let trouble: SendingState['trouble'] = null;
  let failed = 0;
  let timer: unknown;
  let stopped = false;
  const over = new AbortController();
  let round: Promise<void> = Promise.resolve();

  let stopping: Promise<void> | undefined;

  const lastSeq = (): number => log.seal()?.seq ?? 0;
  const state = (): SendingState => ({ waiting: waiting(), trouble });
  const waiting = (): number | null => {
    try {
      return head === undefined ? null : lastSeq() - (head?.seq ?? 0);
    } catch {
      return null; // the log tells its trouble where it is read to be sent
    }
  };

  async function send(): Promise<void> {
    const id = bench();
    if (!history) {
      history = await connect(over.signal);
      head = await agreedHead(log, id, history);
    }
    if (head === undefined || lastSeq() === (head?.seq ?? 0)) return;
    await sendAfter(log, id, history, head, (arrived) => {
      head = arrived;
    });
  }

  /** One look at the log; never rejects. */
  async function look(): Promise<void> {
    const was = trouble;
    let wait = LOOK_MS;
    try {
      await send();
      if (history && !stopped) await alongside?.(history);
      failed = 0;
      trouble = null;
    } catch (error) {
      const fault = error instanceof LogTrouble ? error : historyTroubleOf(error);
      // A connection that was there and breaks is mostly back at once: that is not told.
      const isBlip =
        failed === 0 && history !== undefined && fault instanceof HistoryTrouble && fault.trouble === 'away';
      if (!isBlip) trouble = { fault, since: was?.since ?? now() };
      await history?.close();
      history = undefined;
      wait = retryAfter(fault, failed++);
    }
    if (trouble !== null || was !== null) onChange?.(state());
    if (!stopped && wait !== Number.POSITIVE_INFINITY) timer = clock.setTimeout(again, wait);
  }

  function again(): void {
    round = look();
  }
  // Whoever begins to weigh comes first: the client is loaded, and all the rest done, a moment later.
  timer = clock.setTimeout(again, LOOK_MS);

  return {
    state,
    stop(patienceMs = 0) {
      stopping ??= end(patienceMs);
      return stopping;
    },
  };

  async function end(patienceMs: number): Promise<void> {
    stopped = true;
    clock.clearTimeout(timer);
    const rest = round.then(() => (trouble === null ? look() : undefined));
    const patience = new Promise<void>((resolve) => {
      timer = clock.setTimeout(resolve, patienceMs);
    });
    await Promise.race([rest, patience]);
    clock.clearTimeout(timer);
    over.abort();
    await history?.close();
  }
}

function retryAfter(fault: HistoryTrouble | LogTrouble, failed: number): number {
  // What is not sound does not become so by being sent once more.
  if (fault instanceof LogTrouble || isLasting(fault)) return Number.POSITIVE_INFINITY;
  if (SLOW.has(fault.trouble)) return LONGEST_RETRY_MS;
  return Math.min(LONGEST_RETRY_MS, RETRY_MS * 2 ** Math.min(failed, 10));
}
