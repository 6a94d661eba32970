/** The line in which a number is typed, as a pure state: what a key or a paste makes of the text. */
import type { Pressed } from './view.ts';

/** What became of an input: the text changed, the answer is complete, or the input was not for the line. */
export type Typed =
  | { readonly kind: 'text'; readonly text: string }
  | { readonly kind: 'answer'; readonly text: string }
  | { readonly kind: 'other' };

/** Longer than any weight with its unit. */
const LONGEST = 24;

/**
 * Enter completes the answer if there is one. Escape first empties the line, and is told on when it is empty
 * already. A paste is put in and waits for Enter as well: a scanner never answers by itself.
 */
export function typeInto(text: string, input: Pressed): Typed {
  if ('paste' in input) return { kind: 'text', text: (text + input.paste).slice(0, LONGEST) };
  switch (input.key) {
    case 'enter':
      return text.trim() === '' ? { kind: 'other' } : { kind: 'answer', text: text.trim() };
    case 'backspace':
      return { kind: 'text', text: text.slice(0, -1) };
    case 'escape':
      return text === '' ? { kind: 'other' } : { kind: 'text', text: '' };
    case 'space':
      return { kind: 'text', text: `${text} `.slice(0, LONGEST) };
    default:
      // A letter first is no number: it is one of the answers on the screen, such as "stop".
      return [...input.key].length === 1 && (text !== '' || /[0-9.,+-]/.test(input.key))
        ? { kind: 'text', text: (text + input.key).slice(0, LONGEST) }
        : { kind: 'other' };
  }
}
