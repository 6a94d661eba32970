/** The two looks that a scale's check is made of: at the empty pan, and at a weight on it. */
import { type Mass, minus, size } from '../../mass/mass.ts';
import { decimalsOf, printMass, readMass } from '../../mass/text.ts';
import type { Level } from '../../signal/happening.ts';
import type { SignalState } from '../../signal/signal.ts';
import type { PanNews, PanWatch } from './panWatch.ts';

/** The maker left before the end. */
export class Left extends Error {}

export interface CheckPan {
  /** Waits for Enter. */
  enter(): Promise<void>;
  /** The display with nothing on the pan. @param within what it may show; beyond, it is asked for once */
  empty(prompt: string, within?: Mass): Promise<Mass>;
  /** What a weight shows against the empty pan, at rest for the dwell time. */
  loaded(prompt: string, nominal: Mass): Promise<Mass>;
}

export interface CheckPanInput {
  readonly watch: PanWatch;
  readonly d: Mass;
  /** The display is typed in. */
  readonly keyed: boolean;
  readonly say: (line: string) => void;
}

/** A load that is off its nominal mass by a larger share is more likely another weight. */
const ANOTHER_WEIGHT = 0.3;

export function createCheckPan({ watch, d, keyed, say }: CheckPanInput): CheckPan {
  const grams = (of: Mass) => `${printMass(of, { decimals: decimalsOf(d) })} g`;

  /** The next news that is not about the way to the scale; that is told here, with what was asked for again. */
  async function news(prompt: string): Promise<PanNews> {
    const next = await watch.next();
    switch (next.kind) {
      case 'typed':
        if (/^(q|quit|x)$/i.test(next.text.trim())) throw new Left();
        return next;
      case 'input-ended':
        throw new Left();
      case 'silent':
        say(next.say ?? 'The scale is silent. Is it switched on? This goes on when it speaks again.');
        return next;
      case 'trouble':
        say(`The scale shows no weight that can be used (${next.trouble}).`);
        return next;
      case 'restless':
        say('It does not come to rest: is there a draught, or does the table shake?');
        return next;
      case 'fresh':
      case 'trouble-over':
        if (prompt !== '') say(prompt);
        return next;
      default:
        return next;
    }
  }

  /** A typed display value; undefined when it is none, which is told. */
  function typedMass(text: string): Mass | undefined {
    const found = readMass(text.trim().replace(',', '.').replace(/\s*g$/, ''), 'g');
    if (found === undefined) say('That is no weight in grams, such as 1000.1. Type what the display shows.');
    return found;
  }

  const atRest = (): SignalState['level'] => {
    const { level, silent, trouble } = watch.state();
    return silent || trouble !== undefined ? undefined : level;
  };

  async function typedEmpty(prompt: string): Promise<Mass> {
    for (;;) {
      const next = await news(prompt);
      const shown = next.kind === 'typed' ? typedMass(next.text) : undefined;
      if (shown === undefined) continue;
      watch.keyed(shown);
      watch.declareEmpty();
      return shown;
    }
  }

  async function seenEmpty(prompt: string, within: Mass | undefined): Promise<Mass> {
    let asked = false;
    for (;;) {
      const level = atRest();
      const fits = level !== undefined && (within === undefined || size(level.gross) <= within);
      // Once the zero key was asked for, a display near zero is its answer, whatever the signal made of the jump.
      if (level && fits && (level.empty || asked)) {
        if (!level.empty) watch.declareEmpty();
        return level.gross;
      }
      if (level?.empty && !asked) {
        asked = true;
        say(
          `With nothing on it the display shows ${grams(level.gross)}: press the scale's zero key. (Enter: go on so)`,
        );
      }
      const next = await news(prompt);
      if (next.kind === 'typed') {
        watch.declareEmpty();
        const now = atRest();
        if (now?.empty) return now.gross;
        say('The display is not at rest yet. Wait a moment, then press Enter once more.');
      } else if (next.kind === 'settled' && !next.zeroKnown) {
        say(`The display shows ${grams(next.gross)}. Is the pan empty? Then press Enter.`);
      }
    }
  }

  async function loaded(prompt: string, nominal: Mass): Promise<Mass> {
    say(prompt);
    let doubtful: Mass | undefined;
    for (;;) {
      const next = await news(prompt);
      if (next.kind === 'typed') {
        if (keyed && next.text.trim() !== '') {
          const shown = typedMass(next.text);
          if (shown !== undefined) watch.keyed(shown);
        } else if (doubtful !== undefined) return doubtful;
        continue;
      }
      if (next.kind === 'emptied' && keyed) say(prompt);
      if (next.kind !== 'dwelt') continue;
      const fault = faultOf(next, nominal);
      if (fault === undefined) return next.load;
      say(fault);
      if (!next.zeroKnown) {
        await empty('Take everything off the pan, so that its zero is known again.');
        say(prompt);
      }
      doubtful = next.zeroKnown && next.doubted !== true ? next.load : undefined;
    }
  }

  function faultOf({ load, zeroKnown, doubted }: Level, nominal: Mass): string | undefined {
    if (!zeroKnown) return 'Whether the pan was empty before is not known.';
    if (doubted === true)
      return 'The display stopped all at once, as if it held a figure: lift the weight off and put it on again.';
    if (size(minus(load, nominal)) <= ANOTHER_WEIGHT * nominal) return undefined;
    return `That shows ${grams(load)}: is it the right weight? (Enter: yes, take it)`;
  }

  async function empty(prompt: string, within?: Mass): Promise<Mass> {
    say(keyed ? `${prompt} What does the display show, in grams?` : prompt);
    const shown = await (keyed ? typedEmpty(prompt) : seenEmpty(prompt, within));
    watch.forget();
    return shown;
  }

  return {
    async enter() {
      for (;;) if ((await news('')).kind === 'typed') return;
    },
    empty,
    loaded,
  };
}
