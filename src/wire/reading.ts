/** What a scale said, decoded. Nothing here knows about ports. */
import type { Mass } from '../mass/mass.ts';
import type { Unit } from '../mass/units.ts';

/** One weight that a scale sent. */
export interface Reading {
  /** What the scale shows, converted exactly to micrograms. */
  readonly mass: Mass;
  /** The unit as sent. */
  readonly unit: Unit;
  /** The scale's own word on whether it has settled; undefined when it does not say. */
  readonly stable: boolean | undefined;
  /** The scale says that its battery or mains is low; the weight holds all the same. */
  readonly lowSupply?: boolean | undefined;
  /** When the line was complete: monotonic milliseconds. */
  readonly at: number;
  /** The line as it came, cleaned for printing (no control characters), at most 120 characters. */
  readonly raw: string;
}

/** A complete line that carries no weight, but says why: the scale shows no number. */
export type Condition = 'over-range' | 'under-range' | 'fault';

/** What became of one line. `refused`: it does not fit the wire profile; it is counted and shown, never used. */
export type Decoded =
  | { readonly kind: 'reading'; readonly reading: Reading }
  | { readonly kind: 'condition'; readonly condition: Condition; readonly at: number; readonly raw: string }
  | { readonly kind: 'refused'; readonly why: string; readonly at: number; readonly raw: string };

/** The state of the way to the scale. */
export type LinkState = 'opening' | 'open' | 'lost' | 'failed' | 'closed';

/** All that a source can tell. */
export type SourceEvent =
  | Decoded
  | {
      readonly kind: 'link';
      readonly state: LinkState;
      /** A sentence for the maker when something is wrong. */
      readonly say?: string;
      readonly at: number;
    };

/**
 * Where readings of one scale come from: a serial link, a simulated scale, a test.
 * `start` never throws: trouble is told as events. `stop` resolves when nothing more will come.
 */
export interface ScaleSource {
  readonly scale: string;
  start(tell: (event: SourceEvent) => void): void;
  stop(): Promise<void>;
}

/**
 * How a scale times its lines. It decides what silence means.
 *
 * - `continuous`: all the time.
 * - `on-change`: whenever its display changes.
 * - `asked`: when it is asked.
 * - `on-settled`: one line each time it has come to rest.
 * - `while-settled`: all the time while it is at rest, nothing while it moves.
 * - `on-key`: when a key is pressed on it.
 */
export type Rhythm = 'continuous' | 'on-change' | 'asked' | 'on-settled' | 'while-settled' | 'on-key';

/** Whether a scale of this rhythm may be quiet for long although all is well. */
export function isQuietByHabit(rhythm: Rhythm): boolean {
  return rhythm !== 'continuous' && rhythm !== 'asked';
}
