/** The rows of a sheet below its headings: ingredients, phase headings, totals, and what is none of these. */
import { type CellNumber, cellNumber, unitWord } from './cellNumber.ts';
import { type Column, headingRow, type Role } from './headers.ts';
import type { DraftPhase, Row } from './model.ts';
import { isCountedHeading, isPhaseHeading, phaseBook } from './phaseNames.ts';

/** An ingredient's row, its numbers still as they are written: one for each column that counts. */
export interface SheetLine {
  readonly line: number;
  readonly name: string;
  readonly inci: string | undefined;
  readonly phase: string;
  /** By the column's index. */
  readonly numbers: ReadonlyMap<number, CellNumber | 'rest'>;
  readonly note: string | undefined;
}

export interface SheetLines {
  readonly lines: readonly SheetLine[];
  readonly phases: readonly DraftPhase[];
  /** What a total row states, by column. */
  readonly totals: ReadonlyMap<number, CellNumber>;
  readonly faults: readonly string[];
  /** How rows were taken that may be meant otherwise: sentences. */
  readonly notes: readonly string[];
}

const TOTAL = /^(grand |sub)?-?\s*(totals?|sum)\b|^total\b|^all together$/i;
const REST = /^(q\.?\s?s\.?|(q\.?s\.?\s*)?(to|ad|up to)\s*100\s*%?|balance|rest|remainder)\.?$/i;
const COUNTING: readonly Role[] = ['percent', 'parts', 'mass', 'amount'];
/** A spreadsheet's own formula or error in place of a value. */
const NOT_A_VALUE = /^=|^[+@-](?=[\p{L}(])|^#(REF|DIV\/0|VALUE|NAME|N\/A|NUM|NULL)/u;
/** Nothing, as some write it. */
const BLANK = /^[-\u2013\u2014]?$/u;

/** Whether a column's number says how much of the ingredient goes in. */
export function counts({ role }: Column): boolean {
  return COUNTING.includes(role);
}

/** What one row's cells say, before it is known what kind of row it is. */
interface ReadRow {
  readonly row: Row;
  /** Cells that are not empty. */
  readonly full: readonly string[];
  readonly numbers: ReadonlyMap<number, CellNumber | 'rest'>;
  /** What can't be read in it: sentences that go with its line. */
  readonly unread: readonly string[];
  /** The first cell with a formula or an error of the spreadsheet. */
  readonly notValue: string | undefined;
}

/** @param unitAt the column of units, -1 where there is none: it goes with amounts that name no unit themselves */
function readRow(row: Row, counting: readonly Column[], unitAt: number): ReadRow {
  const cell = (index: number) => row.cells[index] ?? '';
  const numbers = new Map<number, CellNumber | 'rest'>();
  const unread: string[] = [];
  const unit = unitWord(cell(unitAt));
  for (const { index, role } of counting) {
    if (BLANK.test(cell(index))) continue;
    const number = REST.test(cell(index)) ? 'rest' : cellNumber(cell(index));
    if (number !== undefined) {
      const isBare = number !== 'rest' && number.unit === undefined && role === 'amount';
      numbers.set(index, isBare ? { ...number, unit } : number);
      if (isBare && unit === undefined && cell(unitAt) !== '') {
        unread.push(`\`${cell(unitAt)}\` is no unit of mass that is known here.`);
      }
    } else if (!NOT_A_VALUE.test(cell(index))) unread.push(`\`${cell(index)}\` is no amount that can be read.`);
  }
  return {
    row,
    full: row.cells.filter((each) => each !== ''),
    numbers,
    unread,
    notValue: row.cells.find((each) => NOT_A_VALUE.test(each)),
  };
}

export function sheetLines(rows: readonly Row[], columns: readonly Column[]): SheetLines {
  const book = phaseBook();
  const lines: SheetLine[] = [];
  const faults: string[] = [];
  const notes: string[] = [];
  const totals = new Map<number, CellNumber>();
  const at = (role: Role) => columns.find((column) => column.role === role)?.index ?? -1;
  const [nameAt, inciAt, phaseAt, noteAt] = [at('name'), at('inci'), at('phase'), at('note')];
  const read = rows.filter((row) => !headingRow(row)).map((row) => readRow(row, columns.filter(counts), at('unit')));
  const lastCounted = read.findLast(({ numbers }) => numbers.size > 0);
  let heading: string | undefined;

  for (const each of read) {
    const { row, full, numbers, unread, notValue } = each;
    const cell = (index: number) => row.cells[index] ?? '';
    const say = (what: string) => faults.push(`Line ${row.line}: ${what}`);
    const name = cell(nameAt) === '' ? cell(inciAt) : cell(nameAt);
    const isTotal = row.cells.some((text, index) => index !== noteAt && TOTAL.test(text));
    if (full.length > 1) for (const what of unread) say(what);
    if (notValue !== undefined && (unread.length === 0 || full.length === 1)) {
      say(
        `\`${notValue.slice(0, 40)}\` is a spreadsheet's own formula or error, not a value. It was not run. Save the sheet with its values.`,
      );
    } else if (isTotal || (name === '' && numbers.size > 0 && lines.length > 0)) {
      for (const [index, number] of numbers) if (number !== 'rest' && !totals.has(index)) totals.set(index, number);
      if (!isTotal && each !== lastCounted) {
        say('an amount, and no ingredient beside it. If it is a sum, write Subtotal before it.');
      }
    } else if (
      full.length === 1 ||
      (isCountedHeading(name) && numbers.size < 2 && lines.every((line) => line.name !== name))
    ) {
      // A heading may carry the phase's own sum; what stands below the total is a footnote.
      if (totals.size > 0) continue;
      heading = full[0] ?? '';
      if (cell(nameAt) === heading && lines.length > 0 && !isPhaseHeading(heading)) {
        notes.push(`Line ${row.line}: ${heading} has no amount, and is taken for a phase.`);
      }
    } else if (numbers.size === 0) {
      if (totals.size === 0 && name !== '' && unread.length === 0) say(`${name} has no amount.`);
    } else {
      const inPhase = phaseAt >= 0 && cell(phaseAt) !== '' ? cell(phaseAt) : heading;
      if (phaseAt >= 0 && cell(phaseAt) !== '') heading = cell(phaseAt);
      lines.push({
        line: row.line,
        name,
        inci: cell(inciAt) === '' ? undefined : cell(inciAt),
        phase: book.idOf(inPhase ?? 'A All'),
        numbers,
        note: cell(noteAt) === '' ? undefined : cell(noteAt),
      });
    }
  }
  return { lines, phases: book.phases(), totals, faults, notes };
}
