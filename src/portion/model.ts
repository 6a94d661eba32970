/** Weighing off bars: what is known at any moment, and what may come in. */
import type { Band } from '../accept/band.ts';
import type { SlopeKnown } from '../accept/budget.ts';
import type { BarHappened } from '../facts/barFacts.ts';
import type { Bars } from '../facts/bars.ts';
import type { Mass } from '../mass/mass.ts';
import type { Happening } from '../signal/happening.ts';

/** The scale that the bars stand on, and how well it weighs. */
export interface BarScale {
  readonly id: string;
  readonly d: Mass;
  readonly stated: Mass | null;
  readonly measured: Mass | null;
  readonly weighings: number | undefined;
  readonly slope: SlopeKnown | null;
}

/** By what bars are judged. */
export interface Aim extends Band {
  readonly setPoint: Mass;
  readonly label: Mass | null;
}

/** A load that came to rest on the pan. */
export interface Stood {
  readonly net: Mass;
  /** The empty pan's reading that it was weighed against. */
  readonly zero: Mass;
  /** It has stood for the dwell time. */
  readonly dwelt: boolean;
  /** The display stopped in full stride: not to be believed. */
  readonly doubted: boolean;
  /** The zero was not known when it came to rest. */
  readonly zeroKnown: boolean;
  /** What rested on the pan once it was off, before that was empty: a liner, or a piece that broke off. */
  readonly remained: Mass;
}

/** A bar that was lifted off and is not counted: why, and what it weighed. */
export interface InHand extends Stood {
  readonly why: 'under' | 'over' | 'early' | 'doubted' | 'zero moved' | 'left some' | 'changed';
  /** How far the zero had moved when the empty pan was seen again. */
  readonly shift: Mass;
}

export type PanNow =
  /** Nothing may be concluded: no reading yet, silent, or in trouble (it speaks, and can't be believed). */
  | { readonly state: 'blind'; readonly trouble: boolean; readonly say: string | null }
  /** The empty pan has to be seen before anything counts. */
  | { readonly state: 'unproved' }
  | { readonly state: 'empty'; readonly zero: Mass }
  /** Something is on it, moving or at rest. */
  | { readonly state: 'loaded'; readonly moving: boolean };

export interface Portion {
  readonly scale: BarScale;
  readonly aim: Aim;
  readonly bars: Bars;
  readonly pan: PanNow;
  /** What rests on the pan, or rested there last since it was empty; null when nothing did. */
  readonly stood: Stood | null;
  /** What stood there is off, and the empty pan was not seen at rest yet. */
  readonly lifted: boolean;
  /** It was lifted off and something else came on before the empty pan was seen: it is counted when that is. */
  readonly unseen: Stood | null;
  /** The least that the pan showed since `stood` came to rest; null while nothing rested there. */
  readonly least: Mass | null;
  /** The most that it showed while nothing had come to rest yet, and what it was before it fell below half of that. */
  readonly most: Mass;
  readonly passed: Mass | null;
  /** A bar that may have been changed for another before it could be counted: it is asked for after that one. */
  readonly changed: Stood | null;
  readonly inHand: InHand | null;
  /** No more bars come: what is left over is weighed. */
  readonly ending: boolean;
  /** Facts that are being written. */
  readonly writing: readonly BarHappened[];
}

export type Answer =
  /** The bar in the hand counts although it is outside its band, or as the short one that it is. */
  | { readonly kind: 'keep' }
  | { readonly kind: 'short' }
  /** The last bar goes back into the mix. */
  | { readonly kind: 'undo' }
  | { readonly kind: 'pull'; readonly bar: number; readonly back: boolean; readonly reason: string }
  | { readonly kind: 'press'; readonly why: 'again' | 'jam' }
  | { readonly kind: 'end' }
  /** More bars come all the same. */
  | { readonly kind: 'go-on' }
  | { readonly kind: 'left-over'; readonly what: 'offcut' | 'crumbs' }
  | { readonly kind: 'done' };

export type PortionInput =
  | { readonly kind: 'happening'; readonly happening: Happening }
  /** What the scale shows now against its empty pan. */
  | { readonly kind: 'live'; readonly load: Mass }
  | { readonly kind: 'answer'; readonly answer: Answer }
  /** The first so many facts that were to be written are in the log. */
  | { readonly kind: 'written'; readonly bars: Bars; readonly count: number };

export interface Stepped {
  readonly state: Portion;
  /** What is to be written; nothing counts before it is. */
  readonly say: readonly BarHappened[];
}
