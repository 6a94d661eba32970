/** Large characters for a terminal: chosen as large as fits, drawn with half blocks or with plain ASCII. */
import { GLYPH_HEIGHT, GLYPHS } from './glyphs.ts';

/** What the terminal can show: block elements, or nothing beyond ASCII. */
export type Ink = 'block' | 'ascii';

/**
 * How large one dot is: `wide` columns and `high` half rows. A terminal cell is about twice as high as wide, so equal
 * numbers make square dots.
 */
export interface DotSize {
  readonly wide: number;
  readonly high: number;
}

/** Dots between two characters. */
const GAP = 1;
const LARGEST = 8;

/** The width of a text in dots; undefined when it holds a character that has no glyph. */
function dotsWide(text: string): number | undefined {
  let dots = 0;
  for (const character of text) {
    const glyph = GLYPHS.get(character);
    if (!glyph) return undefined;
    dots += (glyph[0]?.length ?? 0) + GAP;
  }
  return Math.max(0, dots - GAP);
}

/** Rows that characters of this size take. */
export function rowsOf({ high }: DotSize): number {
  return Math.ceil((GLYPH_HEIGHT * high) / 2);
}

/** Columns that a text takes; undefined when it holds a character that can't be drawn large. */
export function columnsOf(text: string, { wide }: DotSize): number | undefined {
  const dots = dotsWide(text);
  return dots === undefined ? undefined : dots * wide;
}

/**
 * The largest size at which a text fits, height before width; dots are square or up to half as high again.
 * @param columns, rows the room
 * @returns undefined when no size fits or a character has no glyph: the text is then to be written small
 */
export function largestThatFits(text: string, columns: number, rows: number, ink: Ink): DotSize | undefined {
  for (let high = LARGEST * 2; high >= 1; high--) {
    if (ink === 'ascii' && high % 2 === 1) continue; // ASCII has no half rows
    if (rowsOf({ wide: 1, high }) > rows) continue;
    for (let wide = Math.min(high, LARGEST); wide >= 1; wide--) {
      if (high > Math.ceil(wide * 1.5)) break;
      const needed = columnsOf(text, { wide, high });
      if (needed !== undefined && needed <= columns) return { wide, high };
    }
  }
  return undefined;
}

/**
 * Draws a text large.
 * @returns its rows from top to bottom, without blanks at their right ends
 * @throws RangeError for a character that has no glyph: a number is drawn whole or not at all
 */
export function drawLarge(text: string, size: DotSize, ink: Ink): string[] {
  const dotted = (half: number) => (half < GLYPH_HEIGHT * size.high ? Math.floor(half / size.high) : undefined);
  return Array.from({ length: rowsOf(size) }, (_, row) => {
    const upper = dotsOfRow(text, dotted(row * 2));
    const lower = dotsOfRow(text, dotted(row * 2 + 1));
    let line = '';
    for (let dot = 0; dot < upper.length; dot++) {
      line += cell(upper[dot] === '#', lower[dot] === '#', ink).repeat(size.wide);
    }
    return line.trimEnd();
  });
}

/** One row of dots through all characters of a text; below the last row all is blank. */
function dotsOfRow(text: string, row: number | undefined): string {
  return [...text]
    .map((character) => {
      const glyph = GLYPHS.get(character);
      if (!glyph) throw new RangeError(`there is no large form of ${JSON.stringify(character)}`);
      return row === undefined ? '.'.repeat(glyph[0]?.length ?? 0) : (glyph[row] ?? '');
    })
    .join('.'.repeat(GAP));
}

function cell(upper: boolean, lower: boolean, ink: Ink): string {
  if (ink === 'ascii') return upper ? '#' : ' ';
  if (upper) return lower ? '\u2588' : '\u2580';
  return lower ? '\u2584' : ' ';
}
