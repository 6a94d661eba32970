/**
 * Facts about bars: the mix of a batch weighed off into bars, and bars weighed again after they have dried. They are
 * the batch's own, and most come after it was finished: its draws are done, its bars are not. They move no stock.
 */
import type { Budget } from '../accept/budget.ts';
import type { Mass } from '../mass/mass.ts';

/**
 * How a bar stood against its band when it was counted. `under` and `over` only by a key of the maker; `short`: what
 * was left of the mix made no whole bar, so it is not one of the lot.
 */
export type BarVerdict = 'in' | 'under' | 'over' | 'short';

/** What was left when no more bars came. */
export type LeftOver = 'offcut' | 'crumbs';

/** What happened to bars, before it has a place in the log. */
export type BarHappened =
  /** Bars are weighed off from here on, by this; again after a stop, or where the set-point was changed. */
  | {
      readonly kind: 'portioning-started';
      readonly scale: string;
      readonly setPoint: Mass;
      readonly low: Mass;
      readonly high: Mass;
      /** Declared net weight; null when none is known. */
      readonly label: Mass | null;
      /** What there was to make bars of, by the batch's own weighings; null when not known. */
      readonly mix: Mass | null;
    }
  /** A bar was counted. Its number is never given again. */
  | {
      readonly kind: 'bar';
      readonly bar: number;
      readonly net: Mass;
      readonly scale: string;
      /** The empty pan's own reading before it. */
      readonly zero: Mass;
      /** Expanded by `coverage`. */
      readonly uncertainty: Mass;
      readonly coverage: number;
      /** What the uncertainty is made of: standard uncertainties. */
      readonly budget?: Budget | undefined;
      readonly verdict: BarVerdict;
      /** Lifted off after it stood in its band, or counted by a key. */
      readonly how: 'lift' | 'key';
    }
  /** A bar was taken out of the lot. */
  | {
      readonly kind: 'bar-pulled';
      readonly bar: number;
      readonly reason: string;
      /** Its mass went back into the mix. */
      readonly back: boolean;
    }
  /** A bar was pressed again, or the press jammed on it. */
  | { readonly kind: 'bar-pressed'; readonly bar: number; readonly why: 'again' | 'jam' }
  /** What was left of the mix, weighed. */
  | {
      readonly kind: 'left-over';
      readonly what: LeftOver;
      readonly net: Mass;
      readonly scale: string;
      readonly uncertainty: Mass;
    }
  | { readonly kind: 'portioning-ended' }
  /** A marked bar was weighed again: what it has lost since is drying. */
  | {
      readonly kind: 'bar-weighed-again';
      readonly bar: number;
      readonly net: Mass;
      readonly scale: string;
      readonly uncertainty: Mass;
    }
  /** The last such weighing of a bar was of another one, or otherwise wrong: it does not count. */
  | { readonly kind: 'bar-again-undone'; readonly bar: number };

export type BarKind = BarHappened['kind'];
