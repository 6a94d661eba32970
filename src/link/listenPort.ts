/**
 * Listens to a port whose language is not known yet: keeps the bytes as they arrive, with their times. What is kept is
 * bounded, whatever comes.
 */
import type { Piece } from '../teach/model.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { Clock } from './clock.ts';
import type { OpenPort } from './port.ts';
import { portTrouble } from './portTrouble.ts';

/** Only so many of the latest bytes are kept: over ten seconds at the highest speed, two minutes at 9600 baud. */
export const MOST_BYTES_KEPT = 131_072;
/** A slow line brings byte by byte, so pieces are counted too. */
const MOST_PIECES_KEPT = 32_768;
/** A lock can outlive the program (or our own last opening) that held it for a moment. */
const PATIENCE_WITH_LOCK_MS = 2000;
const TRY_AGAIN_MS = 250;

export interface Ear {
  readonly serial: SerialSettings;
  /** What is kept of all that came from this time on, in order. */
  since(at: number): Piece[];
  /** From when on all that came is kept, monotonic milliseconds. */
  readonly wholeSince: number;
  /** How many bytes have come in all. */
  readonly count: number;
  /** Set when it hears nothing more: the port is gone. */
  readonly lost: LostPort | undefined;
  /** @param bytes sent as Latin-1 */
  write(bytes: string): Promise<void>;
  close(): Promise<void>;
}

/** A port that was open has closed by itself; the message says why. */
export class LostPort extends Error {}

export interface EarSettings {
  readonly openPort: OpenPort;
  readonly path: string;
  readonly serial: SerialSettings;
  readonly clock: Clock;
}

/** A search through settings of a port. */
export interface PortSearch {
  readonly openPort: OpenPort;
  readonly path: string;
  readonly clock: Clock;
  /** Ends the search early. */
  readonly signal?: AbortSignal;
  /** Tells that another setting is tried now. */
  readonly onTry?: (settings: SerialSettings) => void;
}

/**
 * Opens a port at one setting after the other. An adapter may not know each speed: what it refuses is passed over, once
 * it has taken another.
 * @param work returns whether enough was heard
 * @throws (rejects) with the port's error when it can't be opened at all, or what `work` throws
 */
export async function openAtEach(
  search: PortSearch,
  settings: readonly SerialSettings[],
  work: (ear: Ear) => Promise<boolean>,
): Promise<void> {
  let opened = false;
  for (const serial of settings) {
    if (search.signal?.aborted) return;
    search.onTry?.(serial);
    let ear: Ear;
    try {
      ear = await openEar({ ...search, serial });
      opened = true;
    } catch (error) {
      if (opened && !['missing', 'busy', 'permission'].includes(portTrouble(error, search.path).kind)) continue;
      throw error;
    }
    try {
      if (await work(ear)) return;
    } finally {
      await ear.close();
    }
  }
}

/** @throws why the port hears nothing more */
export function throwIfLost({ lost }: Ear): void {
  if (lost) throw lost;
}

/** Opens a port to listen. @throws (rejects) with the port's error; a lock is tried for two seconds first */
export async function openEar({ openPort, path, serial, clock }: EarSettings): Promise<Ear> {
  const began = clock.now();
  let pieces: Piece[] = [];
  let bytesKept = 0;
  let wholeSince = began;
  let count = 0;
  let lost: LostPort | undefined;

  const keep = (bytes: Uint8Array): void => {
    const at = clock.now();
    count += bytes.length;
    const kept = Uint8Array.from(bytes.subarray(Math.max(0, bytes.length - MOST_BYTES_KEPT)));
    if (kept.length < bytes.length) wholeSince = at;
    pieces.push({ bytes: kept, at });
    bytesKept += kept.length;
    let drop = 0;
    // A good part at a time, so that not every byte moves all others.
    const room = bytesKept > MOST_BYTES_KEPT || pieces.length > MOST_PIECES_KEPT ? 0.9 : 1;
    while (
      drop < pieces.length - 1 &&
      (bytesKept > MOST_BYTES_KEPT * room || pieces.length - drop > MOST_PIECES_KEPT * room)
    ) {
      bytesKept -= pieces[drop]?.bytes.length ?? 0;
      drop += 1;
    }
    if (drop === 0) return;
    pieces = pieces.slice(drop);
    wholeSince = pieces[0]?.at ?? at;
  };

  const open = () =>
    openPort(path, serial, {
      data: keep,
      closed: (why) => {
        lost ??= new LostPort(why?.message ?? 'it was closed');
      },
      error: () => {},
    });
  const port = await patiently(open, clock, path);

  return {
    serial,
    since: (at) => pieces.filter((piece) => piece.at >= at),
    get wholeSince() {
      return wholeSince;
    },
    get count() {
      return count;
    },
    get lost() {
      return lost;
    },
    write: (bytes) => port.write(bytes),
    close: () => port.close(),
  };
}

async function patiently<T>(open: () => Promise<T>, clock: Clock, path: string): Promise<T> {
  const began = clock.now();
  for (;;) {
    try {
      return await open();
    } catch (error) {
      if (portTrouble(error, path).kind !== 'busy' || clock.now() - began >= PATIENCE_WITH_LOCK_MS) throw error;
      await pause(clock, TRY_AGAIN_MS);
    }
  }
}

/** Lets time pass. @param signal ends it early */
export function pause(clock: Clock, ms: number, signal?: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal?.aborted) return resolve();
    const end = (): void => {
      clock.clearTimeout(timer);
      signal?.removeEventListener('abort', end);
      resolve();
    };
    const timer = clock.setTimeout(end, ms);
    signal?.addEventListener('abort', end);
  });
}

/** All bytes of some pieces, one after the other. */
export function joined(pieces: readonly Piece[]): Uint8Array {
  const all = new Uint8Array(pieces.reduce((sum, { bytes }) => sum + bytes.length, 0));
  let place = 0;
  for (const { bytes } of pieces) {
    all.set(bytes, place);
    place += bytes.length;
  }
  return all;
}
