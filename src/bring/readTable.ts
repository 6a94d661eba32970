/** Text of a CSV file as rows of cells: by comma, semicolon or tab, whichever makes a table of it. */
import { parse } from 'csv-parse/sync';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import type { Row } from './model.ts';

const MOST_ROWS = 1_000;
const MOST_COLUMNS = 60;
/** Characters of one row; a quote that is never closed would make one row of all the rest. */
const LONGEST_ROW = 20_000;
const LONGEST_CELL = 300;

/** The first of those that fit alike: a comma may be a decimal one, where a tab or semicolon stands between cells. */
const DELIMITERS = ['\t', ';', ','] as const;

export type Table = { readonly ok: true; readonly rows: readonly Row[] } | { readonly ok: false; readonly why: string };

interface Parsed {
  readonly rows: readonly Row[];
  /** Rows that have as many cells as most have, and more than one. */
  readonly alike: number;
}

function parsedBy(delimiter: string, text: string): Parsed | undefined {
  let records: { record: string[]; info: { lines: number } }[];
  try {
    records = parse(text, {
      delimiter,
      // A sheet that was mended by hand may have several.
      record_delimiter: ['\r\n', '\n', '\r'],
      bom: true,
      info: true,
      relax_column_count: true,
      relax_quotes: true,
      skip_empty_lines: false,
      max_record_size: LONGEST_ROW,
      to: MOST_ROWS + 1,
    }) as unknown as typeof records;
  } catch {
    return undefined;
  }
  const counts = new Map<number, number>();
  for (const { record } of records) counts.set(record.length, (counts.get(record.length) ?? 0) + 1);
  const alike = Math.max(0, ...[...counts].map(([cells, rows]) => (cells > 1 ? rows : 0)));
  const rows = records.map(({ record, info }) => ({
    line: info.lines,
    cells: record.map((cell) => cutToWidth(cleanText(cell).replace(/\s+/gu, ' ').trim(), LONGEST_CELL)),
  }));
  return { rows: rows.filter(({ cells }) => cells.some((cell) => cell !== '')), alike };
}

/** Reads a table. Some programs write the delimiter into a first line of its own, `sep=;`. */
export function readTable(text: string): Table {
  const named = /^\ufeff?sep=(.)\r?\n/i.exec(text);
  const body = named ? text.slice(named[0].length) : text;
  const tried = (named?.[1] === undefined ? DELIMITERS : [named[1]]).flatMap((each) => parsedBy(each, body) ?? []);
  const best = tried.reduce<Parsed | undefined>((a, b) => (a && a.alike >= b.alike ? a : b), undefined);
  if (best === undefined) {
    return { ok: false, why: 'Its rows can not be told apart: a quote is open somewhere, or a row is endless.' };
  }
  if (best.rows.length > MOST_ROWS)
    return { ok: false, why: `It has more than ${MOST_ROWS} rows: that is no formula.` };
  if (best.rows.some(({ cells }) => cells.length > MOST_COLUMNS)) {
    return { ok: false, why: `It has more than ${MOST_COLUMNS} columns: that is no formula.` };
  }
  if (best.alike === 0) {
    return {
      ok: false,
      why: 'It has one column only. A name and an amount in each row are needed, in cells of their own.',
    };
  }
  return { ok: true, rows: best.rows };
}
