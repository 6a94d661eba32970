/** A line as a terminal shows it without breaking words. */
import { widthOf } from '../facts/textWidth.ts';
import { wrapText } from '../plan/wrapText.ts';

/**
 * @param line its leading blanks are kept, and its further lines are moved in as far
 * @param columns of the terminal; undefined where the output is none, which gets the line whole
 */
export function wrapped(line: string, columns: number | undefined): string[] {
  if (columns === undefined || widthOf(line) <= columns) return [line];
  const text = line.trimStart();
  return wrapText(text, line.slice(0, line.length - text.length), columns);
}
