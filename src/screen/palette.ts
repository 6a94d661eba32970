/**
 * Few hues, and none that carries a meaning alone: every state also has its own word, place and brightness.
 *
 * The hues are from M. Okabe and K. Ito, "Color Universal Design" (2008), chosen there to be told apart by people
 * with any of the common kinds of colour blindness (values from memory).
 */
import type { Mood } from './view.ts';

const SKY_BLUE = '#56b4e9';
const BLUISH_GREEN = '#009e73';
const YELLOW = '#f0e442';
const ORANGE = '#e69f00';
const VERMILLION = '#d55e00';

/** How a mood looks. Without a hue the headline is drawn in inverse. */
export interface MoodLook {
  readonly hue: string | undefined;
  /** Hue of the large number and the lane. While all goes its usual way they keep the terminal's own colour. */
  readonly numberHue: string | undefined;
  /** The headline takes the whole line: stop and look. */
  readonly loud: boolean;
}

const PLAIN: MoodLook = { hue: undefined, numberHue: undefined, loud: false };

const usual = (hue: string): MoodLook => ({ hue, numberHue: undefined, loud: false });
const good = (hue: string): MoodLook => ({ hue, numberHue: hue, loud: false });
const loud = (hue: string): MoodLook => ({ hue, numberHue: hue, loud: true });

const LOOKS: Readonly<Record<Mood, MoodLook>> = {
  gather: PLAIN,
  place: usual(SKY_BLUE),
  pour: usual(SKY_BLUE),
  'in-band': good(BLUISH_GREEN),
  hold: loud(VERMILLION),
  blind: loud(YELLOW),
  tip: usual(ORANGE),
  step: PLAIN,
  saved: good(BLUISH_GREEN),
  done: good(BLUISH_GREEN),
  trouble: loud(VERMILLION),
};

/** @param coloured false: no hues at all (`NO_COLOR`) */
export function lookOf(mood: Mood, coloured: boolean): MoodLook {
  const look = LOOKS[mood];
  return coloured ? look : { ...look, hue: undefined, numberHue: undefined };
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
