/**
 * Bytes -> lines for one opening of a port. A new one is made at each opening, so that half a line from before never
 * joins the first new one. What comes is kept in memory up to a bound, whatever comes.
 */
import { type Cutter, createCutter } from './cutter.ts';
import { createGrouper } from './grouper.ts';
import type { Profile } from './profile.ts';

/** One line, or all lines of one reading joined. */
export interface Line {
  /** Without start, end and check; Latin-1, as it came: not cleaned. */
  readonly text: string;
  /** When its first bytes arrived, monotonic milliseconds. */
  readonly began: number;
  /** When its last bytes arrived, monotonic milliseconds. */
  readonly at: number;
  /** Why it must not be read. */
  readonly fault: string | undefined;
}

export interface Receiver {
  /** @param at when the bytes arrived, monotonic milliseconds */
  write(chunk: Uint8Array, at: number): void;
  /** What comes next begins a line: the wire was quiet. Without it the first line is taken for the rest of one. */
  begin(): void;
  /** Nothing more is told. */
  end(): void;
}

export type Received = Pick<Profile, 'framing' | 'linesPerReading' | 'linesPerSecond' | 'pattern' | 'serial'>;

/** Bytes handled at a time: many arguments to one call are slow. */
const PIECE = 4096;

/**
 * The first line is dropped (it is usually the rest of one) unless a start byte opens it; empty lines too.
 * @param onLine hears each complete line
 * @param onNoise too many bytes came without a line; they are dropped
 */
export function createReceiver(
  profile: Received,
  onLine: (line: Line) => void,
  onNoise: (at: number) => void,
): Receiver {
  const tell = profile.linesPerReading > 1 ? createGrouper(profile, onLine) : onLine;
  let cutter: Cutter | undefined = createCutter(profile, tell, onNoise);
  return {
    write(chunk, at) {
      for (let from = 0; from < chunk.length; from += PIECE) {
        cutter?.push(String.fromCharCode(...chunk.subarray(from, from + PIECE)), at);
      }
    },
    begin() {
      cutter?.begin();
    },
    end() {
      cutter = undefined;
    },
  };
}
