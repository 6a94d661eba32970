/** Sending to the shared history beside the weighing, and one line about it. */
import { benchId } from '../../records/shared/benchId.ts';
import { keepSending } from '../../records/shared/keepSending.ts';
import type { OwnLog } from '../../records/shared/send.ts';
import { ALL_SENT, sendingLine } from '../../records/shared/sendingWords.ts';
import type { SharedHistory } from '../../records/shared/sharedHistory.ts';
import type { Clock } from '../../signal/clock.ts';
import type { HistoryAddress } from '../../workshop/historyAddress.ts';

/** How long the last facts are waited for when the maker leaves, milliseconds. */
const PATIENCE_MS = 2_000;

export interface Sharing {
  /** What is not as it should be; empty while all is well. */
  line(): string;
  /** From now on this is told of every change of the line. */
  tell(told: (line: string) => void): void;
  /** Sends the rest, if that is a matter of a moment. @returns what has not arrived, in a sentence */
  stop(): Promise<string | undefined>;
}

export interface SharingOptions {
  readonly folder: string;
  readonly log: OwnLog;
  readonly clock: Clock;
  /** Asked of the same connection now and then. */
  readonly alongside?: ((history: SharedHistory) => Promise<void>) | undefined;
  /** For tests; by default the server at the address. */
  readonly connect?: (signal: AbortSignal) => Promise<SharedHistory>;
}

/** Begins to send; never waits for the server. */
export function startSharing(
  address: HistoryAddress,
  { folder, log, clock, connect, alongside }: SharingOptions,
): Sharing {
  let last = '';
  let told: (line: string) => void = () => {};
  const sending = keepSending({
    log,
    bench: () => benchId(folder),
    // The client is loaded by those who have a shared history alone.
    connect:
      connect ?? (async (signal) => (await import('../../records/shared/connect.ts')).connectHistory(address, signal)),
    clock,
    now: () => new Date(),
    alongside,
    onChange(state) {
      const line = sendingLine(state) ?? '';
      if (line === last) return;
      last = line;
      told(line === '' ? ALL_SENT : line);
    },
  });
  return {
    line: () => sendingLine(sending.state()) ?? '',
    tell(how) {
      told = how;
      if (last !== '') told(last);
    },
    async stop() {
      told = () => {};
      await sending.stop(PATIENCE_MS);
      const state = sending.state();
      const waiting =
        state.waiting === 0 ? undefined : (sendingLine(state) ?? 'Not all facts have reached the shared history yet.');
      return waiting === undefined
        ? undefined
        : `${waiting} They are safe here, and go with the next batch or by \`bismar shared send\`.`;
    },
  };
}
