/** The rows of a sheet below its headings: ingredients, phase headings, totals, and what is none of these. */
import { type CellNumber, cellNumber } from './cellNumber.ts';
import { type Column, headingRow, type Role } from './headers.ts';
import type { DraftPhase, Row } from './model.ts';
import { isPhaseHeading, phaseBook } from './phaseNames.ts';

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

export function sheetLines(rows: readonly Row[], columns: readonly Column[]): SheetLines {
  const book = phaseBook();
  const lines: SheetLine[] = [];
  const faults: string[] = [];
  const totals = new Map<number, CellNumber>();
  const at = (role: Role) => columns.find((column) => column.role === role)?.index ?? -1;
  const [nameAt, inciAt, phaseAt, noteAt] = [at('name'), at('inci'), at('phase'), at('note')];
  const counting = columns.filter(counts);
  let heading: string | undefined;

  for (const row of rows) {
    const cell = (index: number) => row.cells[index] ?? '';
    if (headingRow(row)) continue;
    const full = row.cells.filter((each) => each !== '');
    const numbers = new Map<number, CellNumber | 'rest'>();
    let isFormula = row.cells.some((each) => NOT_A_VALUE.test(each));
    for (const { index } of counting) {
      if (BLANK.test(cell(index))) continue;
      const number = REST.test(cell(index)) ? 'rest' : cellNumber(cell(index));
      if (number !== undefined) numbers.set(index, number);
      else if (!NOT_A_VALUE.test(cell(index)) && full.length > 1) {
        faults.push(`Line ${row.line}: \`${cell(index)}\` is no amount that can be read.`);
        isFormula = false;
      }
    }
    const name = cell(nameAt) === '' ? cell(inciAt) : cell(nameAt);
    if (isFormula) {
      const which = row.cells.find((each) => NOT_A_VALUE.test(each)) ?? '';
      faults.push(
        `Line ${row.line}: \`${which.slice(0, 40)}\` is a spreadsheet's own formula or error, not a value. It was not run. Save the sheet with its values.`,
      );
    } else if (full.some((each) => TOTAL.test(each)) || (name === '' && numbers.size > 0 && lines.length > 0)) {
      for (const [index, number] of numbers) if (number !== 'rest' && !totals.has(index)) totals.set(index, number);
      if (name === '' && !full.some((each) => TOTAL.test(each)) && row !== rows.at(-1) && full.length > numbers.size) {
        faults.push(`Line ${row.line}: an amount, and no ingredient beside it.`);
      }
    } else if (
      full.length === 1 ||
      (isPhaseHeading(name) && numbers.size < 2 && lines.every((line) => line.name !== name))
    ) {
      // A heading may carry the phase's own sum; what stands below the total is a footnote.
      if (totals.size === 0) heading = full[0] ?? '';
    } else if (numbers.size === 0) {
      if (totals.size === 0 && name !== '') faults.push(`Line ${row.line}: ${name} has no amount.`);
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
  return { lines, phases: book.phases(), totals, faults };
}
