/** Breaks a sentence into lines for a terminal. */
import { cutToWidth, widthOf } from '../facts/textWidth.ts';

/** A number and its unit stay on one line. */
const UNIT = /(\d) (?=(?:%|k?g|m?l|s|min|h|C|bars?)(?![\p{L}\d]))/gu;
const GLUE = '\u00a0';

/**
 * Words of a text on as many lines as needed.
 * @param lead what stands before the first line; the other lines are moved in as far
 * @param width columns, lead included; a word that is longer is cut
 */
export function wrapText(text: string, lead: string, width: number): string[] {
  const room = Math.max(width - widthOf(lead), 8);
  const lines: string[] = [];
  let line = '';
  for (const word of text
    .replace(UNIT, `$1${GLUE}`)
    .split(' ')
    .map((each) => cutToWidth(each, room))) {
    if (line !== '' && widthOf(line) + 1 + widthOf(word) > room) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  if (line !== '') lines.push(line);
  const indent = ' '.repeat(widthOf(lead));
  return lines.map((each, index) => (index === 0 ? lead : indent) + each.replaceAll(GLUE, ' '));
}
