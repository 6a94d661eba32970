/**
 * The record as CSV by RFC 4180, one row for each weighing, each thing thrown away, and each bar. All `taken_g` of a lot
 * add up to what left it.
 */
import { stringify } from 'csv-stringify/sync';
import { cleanText } from '../../facts/cleanText.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import type { BatchRecord } from './batchRecord.ts';
import { type BarRow, barRows } from './recordBarRows.ts';
import { plannedDraw, type RecordDraw } from './recordDraws.ts';
import { checkInWords } from './recordScales.ts';
import { notesOf } from './recordSentences.ts';

export const CSV_COLUMNS = [
  'batch',
  'formula',
  'version',
  'status',
  'draw',
  'phase',
  'ingredient',
  'name',
  'inci',
  'vessel',
  'scale',
  'way',
  'lot',
  'target_g',
  'low_g',
  'high_g',
  'before_g',
  'after_g',
  'taken_g',
  'net_g',
  'bowl_g',
  'uncertainty_g',
  'at',
  'by',
  'notes',
  'u_rounding_g',
  'u_repeatability_g',
  'u_drift_g',
  'u_check_g',
  'scale_check',
  'doubt_g',
  'coverage_factor',
  'stuck_g',
  'bar',
] as const;

/** A mass stays a number for the reader, also below zero; all else is text. */
type Row = Record<(typeof CSV_COLUMNS)[number], string | Mass | null>;

const EMPTY = Object.fromEntries(CSV_COLUMNS.map((column) => [column, null])) as Row;

/**
 * The record as CSV text: UTF-8, commas, CRLF, quotes where needed, a header line. A text that a spreadsheet would
 * run as a formula gets an apostrophe before it.
 */
export function recordCsv(record: BatchRecord): string {
  const rows = [
    ...record.draws.map((draw) => drawRow(record, draw, 'in the batch')),
    ...record.givenUp.map((draw) => drawRow(record, draw, 'given up')),
    ...record.discarded.map((each) => discardRow(record, each)),
    ...barRows(record).map((row) => barRow(record, row)),
  ];
  return stringify(rows, {
    columns: [...CSV_COLUMNS],
    header: true,
    record_delimiter: '\r\n',
    escape_formulas: true,
    cast: {
      number: (ug) => exactGrams(mass(ug)),
      string: tamed,
    },
  });
}

/** One clean line. The escape of formulas looks at the first character only: white space must not hide it. */
export function tamed(text: string): string {
  // Where a spreadsheet takes the semicolon for the separator, the text after one starts a cell of its own.
  return cleanText(text)
    .trim()
    .replace(/;(\s*[=+\-@])/g, ";'$1");
}

function drawRow(record: BatchRecord, draw: RecordDraw, status: string): Row {
  return {
    ...ofBatch(record, status),
    draw: draw.draw,
    phase: draw.phase,
    ingredient: draw.ingredient,
    name: draw.name,
    inci: draw.inci,
    vessel: draw.vessel,
    scale: draw.scale,
    way: draw.way,
    lot: draw.lot,
    target_g: draw.target,
    low_g: draw.low,
    high_g: draw.high,
    before_g: draw.before,
    after_g: draw.after,
    taken_g: draw.taken,
    net_g: draw.net,
    bowl_g: draw.bowl,
    uncertainty_g: draw.uncertainty,
    at: draw.at,
    by: draw.by,
    notes: notesOf(draw, record).join(' | '),
    u_rounding_g: draw.budget.rounding,
    u_repeatability_g: draw.budget.repeatability,
    u_drift_g: draw.budget.drift,
    u_check_g: draw.budget.check,
    scale_check: checkAt(record, draw),
    doubt_g: draw.doubt,
    coverage_factor: String(draw.coverage),
    stuck_g: draw.stuck,
    bar: null,
  };
}

function discardRow(record: BatchRecord, each: BatchRecord['discarded'][number]): Row {
  const planned = plannedDraw(record.plan, each.draw);
  return {
    ...EMPTY,
    ...ofBatch(record, 'thrown away'),
    draw: each.draw,
    phase: planned?.phase ?? '',
    ingredient: planned?.ingredient ?? '',
    name: planned?.name ?? '',
    inci: planned?.inci ?? '',
    scale: planned?.scale ?? '',
    way: planned?.way ?? '',
    lot: each.lot,
    taken_g: each.amount,
    at: each.at,
    by: each.by,
    notes: each.reason,
  };
}

function barRow(record: BatchRecord, row: BarRow): Row {
  return { ...EMPTY, ...ofBatch(record, row.status), ...row };
}

/** What was known of the draw's scale when it was weighed. */
function checkAt({ scales }: BatchRecord, draw: RecordDraw): string {
  const checks = scales.find(({ id }) => id === draw.scale)?.checks ?? [];
  const check = checks.findLast(({ asOf }) => Date.parse(asOf) <= Date.parse(draw.at));
  return check ? checkInWords(check) : 'not checked';
}

function ofBatch({ batch, plan }: BatchRecord, status: string) {
  return { batch, formula: plan.formula.id, version: plan.formula.version, status };
}
