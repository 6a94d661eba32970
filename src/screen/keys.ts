/** From what Ink says of the keyboard to what the maker pressed. */
import type { Key } from 'ink';
import { cleanText } from '../facts/cleanText.ts';
import { SEPARATOR, SEPARATOR_SHOWN } from '../stock/gs1.ts';
import type { KeyName, Pressed } from './view.ts';

/** Longest paste that is told on; a barcode or a lot number is far shorter. */
const LONGEST_PASTE = 200;

const NAMED: readonly (readonly [keyof Key, KeyName])[] = [
  ['return', 'enter'],
  ['escape', 'escape'],
  ['upArrow', 'up'],
  ['downArrow', 'down'],
  ['leftArrow', 'left'],
  ['rightArrow', 'right'],
  ['backspace', 'backspace'],
  ['delete', 'backspace'],
];

/**
 * One press, or a paste. Several characters at once come from a paste or a scanner and are never taken for keys.
 * @returns undefined for keys that mean nothing here (function keys, combinations with Ctrl and Alt)
 */
export function pressed(input: string, key: Key): Pressed | undefined {
  if (key.ctrl) return input === 'c' ? { key: 'ctrl+c' } : undefined;
  const named = NAMED.find(([flag]) => key[flag] === true);
  // Ink says "escape" also for Alt and a letter: that is no Escape.
  if (named) return key.meta && named[1] !== 'escape' ? undefined : { key: named[1] };
  if (key.meta || key.tab) return undefined;
  if (input === '\r' || input === '\n') return { key: 'enter' };
  if (input === ' ') return { key: 'space' };
  return [...input].length > 1 ? paste(input) : typed(input);
}

/** A paste, cleaned and of bearable length; undefined when nothing is left of it. */
export function paste(text: string): Pressed | undefined {
  // What parts the elements of a scanned label is no character that can be seen; without it they run into one another.
  const clean = cleanText(text.slice(0, LONGEST_PASTE).replaceAll(SEPARATOR, SEPARATOR_SHOWN)).trim();
  return clean === '' ? undefined : { paste: clean };
}

function typed(input: string): Pressed | undefined {
  const clean = cleanText(input);
  return clean === '' ? undefined : { key: clean };
}
