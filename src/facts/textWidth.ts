/**
 * How wide cleaned text is on a terminal. Apart from the cleaning itself: what this needs takes five times as long to load
 * as all of a command that never asks for a width.
 */
import stringWidth from 'string-width';

/** Plain ASCII: one column for each character. */
const PLAIN = /^[\x20-\x7e]*$/;

/** Columns that a text takes on a terminal; wide (CJK) characters take two. */
export function widthOf(text: string): number {
  return PLAIN.test(text) ? text.length : stringWidth(text);
}

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/**
 * Cuts cleaned text to at most `width` columns, between whole characters as the eye sees them. What was cut is shown
 * by `...` at the end, where there is room for more than that.
 * @param width columns, 0 or more
 */
export function cutToWidth(text: string, width: number): string {
  if (widthOf(text) <= width) return text;
  const mark = width > 3 ? '...' : '';
  let room = width - mark.length;
  let kept = '';
  for (const { segment } of graphemes.segment(text)) {
    room -= widthOf(segment);
    if (room < 0) break;
    kept += segment;
  }
  return kept.trimEnd() + mark;
}
