/**
 * The one gate for text that comes from outside: file names, ingredient and lot names, lines from a wire, pasted
 * input. What passes is one line of printable text that can't move the cursor, paint itself, turn the reading
 * direction or hide characters.
 */

/** Nearly all text is plain ASCII: it passes without a second look (the wire brings 50 lines a second). */
const PLAIN = /^[\x20-\x7e]*$/;

/**
 * Whole escape sequences (ECMA-48), so that their printable payload goes with them: control strings such as OSC
 * (titles, hyperlinks) up to their end, CSI (colour, cursor), and the short ESC sequences. Each also in its
 * one-byte C1 form. An unfinished control string is not matched: only its introducer falls, as a control character.
 */
const ESCAPES =
  /(?:\x1b[\]PX^_]|[\x9d\x90\x98\x9e\x9f])[^\x07\x1b\x80-\x9f]*(?:\x07|\x9c|\x1b\\)|(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]|\x1b[ -/]*[0-~]/g;

/** Tab, line feed, vertical tab, form feed, carriage return, NEL, line and paragraph separator. */
const LINE_BREAKS = /[\t\n\v\f\r\x85\u2028\u2029]/g;

/**
 * C0, DEL, C1; and what has no width or turns the direction: Unicode's format characters (U+200B-200F, U+202A-202E,
 * U+2060-2069, U+FEFF, soft hyphen, tags ...) and ignorable ones (variation selectors, joiners, fillers).
 */
const UNSEEN = /[\x00-\x1f\x7f-\x9f]|\p{Cf}|\p{Default_Ignorable_Code_Point}/gu;

/** Marks stacked higher than any language does spill into the lines above and below. */
const STACKED_MARKS = /(\p{M}{3})\p{M}+/gu;

/**
 * Makes foreign text harmless: one line, no control or escape sequences, no invisible or direction-turning
 * characters, well-formed Unicode in composed form. Tabs and line breaks become one space each; other white space
 * stays, so that fixed-width lines keep their shape. Cleaning twice changes nothing more.
 */
export function cleanText(text: string): string {
  if (PLAIN.test(text)) return text;
  return text
    .toWellFormed()
    .replace(ESCAPES, '')
    .replace(LINE_BREAKS, ' ')
    .replace(UNSEEN, '')
    .normalize('NFC')
    .replace(STACKED_MARKS, '$1');
}
