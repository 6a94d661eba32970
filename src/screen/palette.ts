/**
 * Few hues, and none that carries a meaning alone: every state also has its own word, place and brightness.
 *
 * The hues are from M. Okabe and K. Ito, "Color Universal Design" (2008), chosen there to be told apart by people
 * with any of the common kinds of colour blindness (values from memory).
 */
import type { Verdict } from '../accept/band.ts';
import type { Mood } from './view.ts';

const SKY_BLUE = '#56b4e9';
const BLUISH_GREEN = '#009e73';
const YELLOW = '#f0e442';
const ORANGE = '#e69f00';
const VERMILLION = '#d55e00';

/** How a mood looks. Without a hue the headline is drawn in inverse. */
export interface MoodLook {
  readonly hue: string | undefined;
  /** The headline takes the whole line: stop and look. */
  readonly loud: boolean;
}

const LOOKS: Readonly<Record<Mood, MoodLook>> = {
  gather: { hue: undefined, loud: false },
  place: { hue: SKY_BLUE, loud: false },
  pour: { hue: SKY_BLUE, loud: false },
  'in-band': { hue: BLUISH_GREEN, loud: false },
  hold: { hue: VERMILLION, loud: true },
  blind: { hue: YELLOW, loud: true },
  tip: { hue: ORANGE, loud: false },
  step: { hue: undefined, loud: false },
  saved: { hue: BLUISH_GREEN, loud: false },
  done: { hue: BLUISH_GREEN, loud: false },
  trouble: { hue: VERMILLION, loud: true },
};

/** @param coloured false: no hues at all (`NO_COLOR`) */
export function lookOf(mood: Mood, coloured: boolean): MoodLook {
  const look = LOOKS[mood];
  return coloured ? look : { ...look, hue: undefined };
}

/**
 * The hue of the large number and of the lane's bar, by where the weight is now. On the way to the band they keep
 * the terminal's own colour, so that the change of hue is a change.
 */
export function bandHue(verdict: Verdict | undefined, coloured: boolean): string | undefined {
  if (!coloured) return undefined;
  if (verdict === 'in') return BLUISH_GREEN;
  return verdict === 'over' ? VERMILLION : undefined;
}

/** What of the environment the screen heeds. */
export type Environment = Readonly<Record<string, string | undefined>>;

/** Whether hues are wanted: `NO_COLOR` set to anything but nothing forbids them (the convention of no-color.org). */
export function wantsColour(environment: Environment): boolean {
  return (environment.NO_COLOR ?? '') === '';
}

/** Whether the terminal draws block elements: not on a bare console, nor where the locale is set but not UTF-8. */
export function drawsBlocks(environment: Environment): boolean {
  if (/^(linux|dumb|vt\d+)/.test(environment.TERM ?? '')) return false;
  const locale = environment.LC_ALL || environment.LC_CTYPE || environment.LANG || '';
  return locale === '' || /utf-?8/i.test(locale);
}
