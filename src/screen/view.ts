/**
 * All that the screen knows. Plain data, filled from the weighing chart and the signal; the screen decides nothing.
 *
 * Two parts, because they change at different speeds: the BenchView changes with the chart (a few times a minute),
 * the LiveView with the readings (up to 50 times a second). Texts may hold foreign names as they are: the screen
 * cleans and cuts them.
 */
import type { Way } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Cue } from '../signal/cue.ts';

/** What the maker is in the middle of. It picks the layout, and the brightness and hue of the headline. */
export type Mood =
  /** Everything is looked out before the batch; `list` is shown. */
  | 'gather'
  /** A vessel is to be put on or lifted off. */
  | 'place'
  /** Goes in (or is taken out), below the band. */
  | 'pour'
  /** Inside the band: wait, it is accepted by itself. */
  | 'in-band'
  /** Too much: nothing goes on until the maker chooses. */
  | 'hold'
  /** The scale can't be trusted now (silent, wrong unit): stop pouring. */
  | 'blind'
  /** The cup is tipped into the vessel and weighed back. */
  | 'tip'
  /** Work between draws; `timer` may run. */
  | 'step'
  /** A weight has just been written down. */
  | 'saved'
  /** The batch is finished. */
  | 'done'
  /** Something is wrong that is not the scale's (log not written, wrong vessel). */
  | 'trouble';

/** One answer that the maker can give by one key. */
export interface Choice {
  /** The key as printed: `Enter`, `Esc`, `k`. */
  readonly key: string;
  readonly label: string;
  /** Nothing goes on without it, although it is the end of a pour. */
  readonly needed?: true;
}

/** Typed input. `number`: the line is edited on the screen and told whole, on Enter. `choice`: keys are told. */
export interface Ask {
  readonly prompt: string;
  readonly kind: 'number' | 'choice';
}

/** A finished draw, for the line of work done. */
export interface DoneDraw {
  readonly name: string;
  /** Net weight with its unit: `55.7 g`. */
  readonly net: string;
}

/** A line of the gathering list. */
export type GatherLine =
  | { readonly heading: string }
  | {
      readonly name: string;
      /** Lot or place: `CA-2207`. */
      readonly note?: string | undefined;
      /** With its unit: `92.8 g`. */
      readonly amount?: string | undefined;
    };

/** Work that takes a set time. Instants are of the clock that the screen was opened with. */
export interface Timer {
  /** When it began, milliseconds. */
  readonly startedAt: number;
  /** How long it is to last, milliseconds; undefined: it only counts up. */
  readonly forMs: number | undefined;
}

/** The part of the screen that changes with the chart. */
export interface BenchView {
  readonly mood: Mood;
  /** Formula and batch: `Cornflower & oat cleansing bar 3, batch 2026-11-25-1`. */
  readonly title: string;
  /** Who weighs, for behind the title where there is room. */
  readonly by?: string | undefined;
  /** Place in the work, short: `B liquids, draw 9 of 22`. */
  readonly where: string;
  /** One or two words in capitals: `POUR`, `STOP`, `TAKE OUT`, `READY`, `LIFT`. */
  readonly headline: string;
  /** One sentence: what to do now. */
  readonly say: string;
  /** Where the batch stands, after a stop or a return; shown before the smaller lines. */
  readonly recap?: readonly string[] | undefined;
  /** Smaller lines, the more urgent first; as many as fit: `Liquids beaker on the bench scale. Lot GL-30.` */
  readonly detail: readonly string[];
  /** Cautions for what is at hand. As many as fit are shown, at least the first. */
  readonly cautions: readonly string[];
  /** Answers by one key, at most six. */
  readonly choices: readonly Choice[];
  /** Finished draws, oldest first. As many of the last as fit are shown. */
  readonly done: readonly DoneDraw[];
  /** Coming tasks, nearest first: `Purified water 34.1 g`. */
  readonly next: readonly string[];
  readonly ask?: Ask | undefined;
  readonly timer?: Timer | undefined;
  /** A warning about another scale: `The fine scale carries 31.46 g that belongs nowhere.` */
  readonly elsewhere?: string | undefined;
  /** For `gather` (and `done`): shown in columns, in pages if need be. */
  readonly list?: readonly GatherLine[] | undefined;
  /** One dim line at the bottom, such as the demo's hand keys. */
  readonly foot?: string | undefined;
}

/** What the scale is doing. `off`: no scale belongs to what is at hand. */
export type PanState = 'settled' | 'moving' | 'silent' | 'trouble' | 'off';

/** The band of a draw and where the net weight is in it: what the closing lane draws. */
export interface LaneView {
  readonly net: Mass;
  readonly low: Mass;
  readonly target: Mass;
  readonly high: Mass;
  /** The scale's interval. */
  readonly d: Mass;
  /** Where the pour would end if the hand stopped now; undefined while nothing flows. */
  readonly landing?: Mass | undefined;
}

/**
 * The part of the screen that changes with the readings. Numbers are already text on the scale's grid. When `fresh`
 * is false the screen shows dashes in place of every number here: an old weight that looks live is dangerous.
 */
export interface LiveView {
  readonly state: PanState;
  /** The numbers come from a reading that is not older than the scale's rhythm allows, and may be trusted. */
  readonly fresh: boolean;
  /** The scale's name: `bench scale`. */
  readonly scaleName: string;
  readonly way: Way;
  /** Target minus net, without unit: `14.4`; with `-` when too much is in. Undefined: there is none to show. */
  readonly remaining: string | undefined;
  /** In a hold: at least so much has to come out again, without unit. It is shown in place of `remaining`. */
  readonly takeBack?: string | undefined;
  /** Unit of all numbers here: `g`. */
  readonly unit: string;
  /** The words above the large number, where the usual ones for the way do not fit. */
  readonly caption?: string | undefined;
  /** What has gone in (or was taken out), without unit. */
  readonly net: string | undefined;
  /** What the scale shows, without unit. */
  readonly gross: string | undefined;
  /** `6.2 g/s`; undefined when nothing flows. */
  readonly flow?: string | undefined;
  /** What the hand should do now; undefined when there is nothing to tell, or it is too uneven to tell. */
  readonly cue?: Cue | undefined;
  /** Where the pour would end if the hand stopped now, without unit; undefined when nothing flows. */
  readonly landing?: string | undefined;
  /** What is known from earlier pours: `About 1.2 g runs on after a stop: learnt from 7 pours.` */
  readonly learnt?: string | undefined;
  /** Undefined: no lane is drawn. */
  readonly lane: LaneView | undefined;
  /** Lines from the scale that could not be read since the link was opened. */
  readonly refused: number;
}

/** Before any reading. */
export const NO_LIVE: LiveView = {
  state: 'off',
  fresh: false,
  scaleName: '',
  way: 'add',
  remaining: undefined,
  unit: 'g',
  net: undefined,
  gross: undefined,
  lane: undefined,
  refused: 0,
};

/** A key that the maker pressed: a named one or a printable character. */
export type KeyName = 'enter' | 'escape' | 'up' | 'down' | 'left' | 'right' | 'space' | 'backspace' | 'ctrl+c';

/** Input from the keyboard. Several characters at once are a paste or a scanner, never several key presses. */
export type Pressed = { readonly key: KeyName | (string & {}) } | { readonly paste: string };

/** The words for what is shown, by the way of the draw. */
export function wordsFor(way: Way): { readonly toGo: string; readonly net: string } {
  return way === 'subtract' ? { toGo: 'still to take', net: 'taken' } : { toGo: 'still to add', net: 'added' };
}
