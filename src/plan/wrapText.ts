/** Breaks a sentence into lines for a terminal. */
import { cutToWidth, widthOf } from '../facts/cleanText.ts';

/**
 * Words of a text on as many lines as needed.
 * @param lead what stands before the first line; the other lines are moved in as far
 * @param width columns, lead included; a word that is longer is cut
 */
export function wrapText(text: string, lead: string, width: number): string[] {
  const room = Math.max(width - widthOf(lead), 8);
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(' ').map((each) => cutToWidth(each, room))) {
    if (line !== '' && widthOf(line) + 1 + widthOf(word) > room) {
      lines.push(line);
      line = word;
    } else {
      line = line === '' ? word : `${line} ${word}`;
    }
  }
  if (line !== '') lines.push(line);
  const indent = ' '.repeat(widthOf(lead));
  return lines.map((each, index) => (index === 0 ? lead : indent) + each);
}
