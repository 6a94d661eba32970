/** The gathering list in columns and pages: nothing on this screen scrolls. */
import { widthOf } from '../facts/textWidth.ts';
import { padLeft, padRight } from './lineText.ts';
import type { GatherLine } from './view.ts';

const LEAST_COLUMN = 36;
/** Width of a column that cuts hardly any name. */
export const ROOMY_COLUMN = 50;
const BETWEEN = 3;

/** How many columns of at least so much width can stand side by side. */
function mostColumns(columns: number, least: number): number {
  return Math.max(1, Math.floor((columns + BETWEEN) / (least + BETWEEN)));
}

/** Rows that the whole list needs on one page, in columns of at least so much width. */
export function gatherRows(list: readonly GatherLine[], columns: number, least = LEAST_COLUMN): number {
  return Math.ceil(list.length / mostColumns(columns, least));
}

/** How many pages the list needs; a list of more than one page leaves its last row to the page's number. */
export function pageCount(list: readonly GatherLine[], columns: number, rows: number): number {
  if (gatherRows(list, columns) <= rows) return 1;
  return Math.ceil(list.length / (mostColumns(columns, LEAST_COLUMN) * Math.max(1, rows - 1)));
}

/**
 * The lines of one page. Columns are read from top to bottom, then from left to right.
 * @param page from 0; one past the end shows the last
 */
export function gatherPage(list: readonly GatherLine[], columns: number, rows: number, page: number): string[] {
  const pages = pageCount(list, columns, rows);
  // As few columns as will do: names need the width.
  const side = pages > 1 ? mostColumns(columns, LEAST_COLUMN) : Math.max(1, Math.ceil(list.length / Math.max(1, rows)));
  const high = pages > 1 ? Math.max(1, rows - 1) : Math.ceil(list.length / side);
  const shown = Math.min(page, pages - 1);
  const first = shown * side * high;
  const shape = {
    width: Math.min(60, Math.floor((columns + BETWEEN) / side) - BETWEEN),
    note: widest(list, (line) => line.note, 12),
    amount: widest(list, (line) => line.amount, 12),
  };
  const lines = Array.from({ length: high }, (_, row) =>
    Array.from({ length: side }, (_, column) => {
      const line = list[first + column * high + row];
      return line ? gatherLine(line, shape) : ' '.repeat(shape.width);
    })
      .join(' '.repeat(BETWEEN))
      .trimEnd(),
  );
  if (pages > 1) lines.push(padRight(` Page ${shown + 1} of ${pages}. Left and right arrow turn it.`, columns));
  return lines;
}

type Item = Extract<GatherLine, { name: string }>;

/** Columns that the widest of some texts takes, but not more than `most`. */
function widest(list: readonly GatherLine[], of: (item: Item) => string | undefined, most: number): number {
  return Math.min(most, Math.max(0, ...list.map((line) => ('name' in line ? widthOf(of(line) ?? '') : 0))));
}

/** Columns of a line and of its parts. */
interface Shape {
  readonly width: number;
  readonly note: number;
  readonly amount: number;
}

function gatherLine(line: GatherLine, { width, note, amount }: Shape): string {
  if ('heading' in line) return padRight(line.heading.toUpperCase(), width);
  const end = amount > 0 ? ` ${padLeft(line.amount ?? '', amount)}` : '';
  const middle = line.note ? ` ${padRight(line.note, note)}` : '';
  return padRight(line.name, width - middle.length - end.length) + middle + end;
}
