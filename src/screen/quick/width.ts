/**
 * What Ink asks for the width of each text, for each frame anew, answered at once where nothing is to be found out. The
 * build puts this in the place of `string-width`, which answers all else.
 */
import stringWidth from 'string-width';

type Options = NonNullable<Parameters<typeof stringWidth>[1]>;

/** ASCII, box lines and block elements: one column each, none of them joins with its neighbours (UAX #11, UAX #29). */
const PLAIN = /^[ -~\u2500-\u259f]*$/;
const STYLE = /\x1b\[[\d;]*m/g;
/** So many texts of other kinds are kept; then all are forgotten. */
const MOST_KEPT = 500;
/** Longer ones are none that is drawn again and again. */
const LONGEST_KEPT = 500;
const kept = new Map<string, number>();

/** Whether a character of this code takes one column and joins with none. */
export function isPlainCell(code: number): boolean {
  return (code >= 0x20 && code <= 0x7e) || (code >= 0x2500 && code <= 0x259f);
}

/** Columns of a text on a terminal, without its escape sequences. */
export default function quickWidth(text: string, options?: Options): number {
  if (options !== undefined || typeof text !== 'string') return stringWidth(text, options);
  if (PLAIN.test(text)) return text.length;
  const known = kept.get(text);
  if (known !== undefined) return known;
  const bare = text.replace(STYLE, '');
  const width = PLAIN.test(bare) ? bare.length : stringWidth(text);
  if (text.length <= LONGEST_KEPT) {
    if (kept.size >= MOST_KEPT) kept.clear();
    kept.set(text, width);
  }
  return width;
}
