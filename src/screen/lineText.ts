/** Lines of text that keep to a width, counted in terminal columns. */
import { cutToWidth, widthOf } from '../facts/textWidth.ts';

/**
 * Breaks a sentence between words into at most `most` lines; what does not fit into the last one is cut with `...`.
 * A word longer than a line is cut.
 */
export function breakLines(text: string, width: number, most: number): string[] {
  const lines: string[] = [];
  let rest = text.trim();
  while (rest !== '' && lines.length < most) {
    if (lines.length === most - 1 || widthOf(rest) <= width) {
      lines.push(cutToWidth(rest, width));
      break;
    }
    let line = '';
    for (const word of rest.split(' ')) {
      const longer = line === '' ? word : `${line} ${word}`;
      if (widthOf(longer) > width) break;
      line = longer;
    }
    if (line === '') {
      const first = rest.split(' ', 1)[0] ?? '';
      lines.push(cutToWidth(first, width));
      rest = rest.slice(first.length).trimStart();
    } else {
      lines.push(line);
      rest = rest.slice(line.length).trimStart();
    }
  }
  return lines;
}

/** A text at the left end and one at the right end of a line. Where both do not fit, the left one is cut. */
export function leftAndRight(left: string, right: string, width: number): string {
  const kept = cutToWidth(right, width);
  const room = width - widthOf(kept) - 2;
  if (room <= 0) return padLeft(kept, width);
  const start = cutToWidth(left, room);
  return start + ' '.repeat(width - widthOf(start) - widthOf(kept)) + kept;
}

/** Fills up with blanks at the right end, by columns; cuts what is too long. */
export function padRight(text: string, width: number): string {
  const kept = cutToWidth(text, width);
  return kept + ' '.repeat(width - widthOf(kept));
}

/** Fills up with blanks at the left end, by columns; cuts what is too long. */
export function padLeft(text: string, width: number): string {
  const kept = cutToWidth(text, width);
  return ' '.repeat(width - widthOf(kept)) + kept;
}

/** As many of the last pieces as fit into one line, in their order. */
export function lastThatFit(pieces: readonly string[], width: number, between: string): string {
  let line = '';
  for (const piece of pieces.toReversed()) {
    const longer = line === '' ? piece : piece + between + line;
    if (line !== '' && widthOf(longer) > width) break;
    line = longer;
  }
  return cutToWidth(line, width);
}
