/**
 * The discrete happenings on one pan. Between them lie thousands of samples that nobody above the signal sees.
 *
 * `load` is what stands on the pan: the reading minus the last known reading of the empty pan (the zero).
 * `zeroKnown` is false until the empty pan has been seen, and again after the scale was silent or restarted.
 */
import type { Mass } from '../mass/mass.ts';
import type { Condition } from '../wire/reading.ts';

/**
 * `unit-jump`: a display that sends no unit jumped by the ratio of two units while nothing moved.
 * `unread`: what the scale sends does not fit its profile, and nothing that does has come for too long.
 */
export type Trouble = 'wrong-unit' | 'unit-jump' | 'unread' | Condition;

/** A level that the pan came to rest at. */
export interface Level {
  readonly load: Mass;
  /** The scale's own display at that moment. */
  readonly gross: Mass;
  readonly zeroKnown: boolean;
  /** The display stopped in full stride: it may be frozen or hold a figure. Lifting the load off clears it. */
  readonly doubted?: boolean;
  /** The scale says nothing between one rest and the next, so this may be over already: a pour may go on unheard. */
  readonly unheard?: boolean;
}

export type Happening =
  /** The reading left its level: something is being poured, put on or lifted. */
  | { readonly kind: 'moving'; readonly scale: string; readonly at: number }
  /** The pan came to rest with something on it. */
  | ({ readonly kind: 'settled'; readonly scale: string; readonly at: number } & Level)
  /** It has stood at that level for the dwell time, and a fresh reading says so. Sent once per level. */
  | ({ readonly kind: 'dwelt'; readonly scale: string; readonly at: number; readonly keyed: boolean } & Level)
  /** The pan came to rest empty; its reading is the new zero. `shift`: how far it is from the last known one. */
  | {
      readonly kind: 'emptied';
      readonly scale: string;
      readonly at: number;
      readonly zero: Mass;
      readonly shift?: Mass;
      /** How hard it was pressed since it was empty before, without anything coming to rest on it; 0: not at all. */
      readonly pressed?: Mass;
    }
  /** It has not come to rest for long although hardly anything flows: a draught, a vibration, a hand on the table. */
  | { readonly kind: 'restless'; readonly scale: string; readonly at: number }
  /** It has rested at one level for long. Said once per level. */
  | { readonly kind: 'motionless'; readonly scale: string; readonly at: number }
  /** No fresh reading for longer than the scale's rhythm allows, or the link is down. */
  | { readonly kind: 'silent'; readonly scale: string; readonly at: number; readonly say: string | null }
  /** The scale says that its battery or mains is low. Said once. */
  | { readonly kind: 'low-supply'; readonly scale: string; readonly at: number }
  /** Readings come again. */
  | { readonly kind: 'fresh'; readonly scale: string; readonly at: number }
  /** The scale says that it can't weigh, or shows another unit than its profile's. */
  | { readonly kind: 'trouble'; readonly scale: string; readonly at: number; readonly trouble: Trouble }
  /** Good readings come again after trouble. */
  | { readonly kind: 'trouble-over'; readonly scale: string; readonly at: number };
