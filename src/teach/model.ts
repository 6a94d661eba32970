/**
 * Teaching: how an unknown scale is learnt. This file is what the dialog and the learner agree on.
 *
 * 1. The dialog finds the line settings (`judgeLineSettings.ts` scores what was heard at each) and, for a silent scale,
 *    a question that it answers.
 * 2. It asks what `nextQuestion(evidence)` says, keeps what was heard meanwhile as one more `Heard`, and goes on until
 *    there is no further question.
 * 3. `learn(evidence, name)` makes the wire profile, or says why there is none.
 *
 * Nothing here knows a port, a clock or a terminal.
 */
import type { Profile, SerialSettings } from '../wire/profile.ts';

/**
 * What the maker does while the scale is heard.
 *
 * - `empty`: nothing on the pan, left alone.
 * - `loaded`: something on the pan, left alone.
 * - `touched`: the same thing on the pan, touched so that it wobbles.
 * - `other`: another, clearly different thing on the pan, left alone.
 * - `lifted`: the scale's tare key pressed with something on, then that taken off: the display is below zero.
 * - `touched-empty`: the empty pan (display at zero), touched so that it wobbles.
 * - `switched-on`: the scale switched off and on, with the pan empty: what it says first begins a reading.
 */
export type Moment = 'empty' | 'loaded' | 'touched' | 'other' | 'lifted' | 'touched-empty' | 'switched-on';

/** Bytes as they arrived together. */
export interface Piece {
  readonly bytes: Uint8Array;
  /** Monotonic milliseconds, from the same clock as all times here. */
  readonly at: number;
}

/** What was heard in one moment. */
export interface Heard {
  readonly moment: Moment;
  /** When the maker was told what to do: from here on the scale was listened to. */
  readonly began: number;
  /** When she said that it is done. From here to `ended` the pan was left alone, or (touched) kept wobbling. */
  readonly ready: number;
  /** When listening ended. */
  readonly ended: number;
  /** All that came from `began` to `ended`, in order; empty when the scale was silent. */
  readonly pieces: readonly Piece[];
  /** Whether she was told to press the scale's send key in this moment (`Question.pressKey`). */
  readonly keyPressed: boolean;
  /** What she says the display shows, number and unit as typed (`296.4 g`); undefined when it was not asked for or she
   *  does not know. */
  readonly shown: string | undefined;
}

/** The question that a silent scale answers. */
export interface AskCommand {
  /** Without its ending. */
  readonly send: string;
  readonly ending: 'crlf' | 'lf' | 'cr' | 'none';
  /** How often it was asked while listening, milliseconds. */
  readonly everyMs: number;
}

/** All that is known of a scale so far. */
export interface Evidence {
  /** The settings under which all of it was heard. */
  readonly serial: SerialSettings;
  /** Set when the scale was silent until it was asked this; the dialog then goes on asking while it listens. */
  readonly ask: AskCommand | undefined;
  /** In the order of time. A moment may stand here more than once: it was asked again. */
  readonly heard: readonly Heard[];
  /** Moments that the maker could not bring about (a scale without a tare key); they are not asked again. */
  readonly skipped: readonly Moment[];
}

/** What to ask the maker next. */
export interface Question {
  readonly moment: Moment;
  /** What to do, a sentence for a maker. For the `touched` moments she begins, says so, and goes on while listening. */
  readonly say: string;
  /** How long to listen after she said that it is done (or, touched, that she has begun), milliseconds. */
  readonly listenMs: number;
  /** She is to press the scale's send key while it is listened to; `say` tells her so. */
  readonly pressKey: boolean;
  /** What to ask afterwards about the display; undefined: its number is not needed. */
  readonly askDisplay: string | undefined;
  /** She may skip it: what is lost then, a sentence. undefined: without it nothing can be learnt. */
  readonly ifSkipped: string | undefined;
}

/** How sure one part of a profile is. `unknown` parts are left out of the profile: it then refuses or says nothing. */
export type Sureness = 'certain' | 'likely' | 'unknown';

export type PartName =
  | 'line settings'
  | 'framing'
  | 'check bytes'
  | 'lines per reading'
  | 'number'
  | 'decimal mark'
  | 'sign'
  | 'unit'
  | 'rest'
  | 'rhythm'
  | 'ask command';

/** One part of what was learnt. */
export interface Part {
  readonly part: PartName;
  /** What it is: `a minus before the digits`. */
  readonly says: string;
  readonly sure: Sureness;
  /** From what it is known: `seen below zero after the tare key`. */
  readonly from: string;
}

/** What became of the evidence. A profile was proved: it reads all that was heard as the display showed it. */
export type Learnt =
  | {
      readonly ok: true;
      readonly profile: Profile;
      /** The profile's file, ready to be written as `scales/<name>.yaml`. */
      readonly yaml: string;
      readonly parts: readonly Part[];
    }
  | {
      readonly ok: false;
      /** Why there is no profile, a sentence. */
      readonly why: string;
      /** What to do, a sentence. */
      readonly todo: string;
      /** What is known all the same. */
      readonly parts: readonly Part[];
    };

/** What bytes heard under one setting of the port look like. */
export interface LineJudgement {
  /** 0 (silence or noise) to 1 (surely the text of a scale). Compare settings by it; under 0.5 it is no text. */
  readonly score: number;
  /** False: too few bytes to judge by; listen longer. */
  readonly isEnough: boolean;
  /**
   * What the eighth bit of the bytes does. `even`, `odd`: it is a parity bit, so open the port again with 7 data bits
   * and that parity; `set`: 7 data bits with a second stop bit (or mark parity); `clear`: as it should be; `mixed`:
   * none of these.
   */
  readonly eighthBit: 'clear' | 'even' | 'odd' | 'set' | 'mixed';
  /** The settings to use: those given, with data bits and parity mended by `eighthBit`. */
  readonly better: SerialSettings;
}
