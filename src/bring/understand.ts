/** From the rows of a sheet to a formula, or to the questions that the sheet leaves open. */

import { type Fraction, isEqual, ONE } from '../formula/fraction.ts';
import type { Decimal } from '../mass/text.ts';
import { isUnit, toMicrograms, type Unit } from '../mass/units.ts';
import { type CellNumber, cellNumber, decimalOf, type Mark } from './cellNumber.ts';
import { asFraction, type Counted, decimalMark, HUNDRED, sumOf } from './decimalMark.ts';
import { type Column, guessedColumns, headingRow } from './headers.ts';
import type { Amounts, Answers, Draft, DraftLine, Question, Row, Understood } from './model.ts';
import { settlePercent } from './settlePercent.ts';
import { counts, type SheetLine, type SheetLines, sheetLines } from './sheetLines.ts';

/** A heading stands among the first rows, below a title at most. */
const HEADING_WITHIN = 15;

const AMOUNTS: Question = {
  option: '--amounts',
  ask: 'The sheet does not say what its numbers are. What do they count?',
  choices: [
    { answer: 'percent', means: 'percent of the batch' },
    { answer: 'g', means: 'grams (or another unit of mass: kg, mg, oz, lb)' },
    { answer: 'parts', means: 'parts, whatever they add up to' },
  ],
};

/** Why a column can't be counted. */
const UNEVEN = {
  mixed: 'Some amounts are percent or parts and others are masses: give all of them in one.',
  'some bare':
    'Some amounts have a unit of mass and others have none: give it to all, or name it in the heading, such as Amount (g).',
} as const;

type Uneven = keyof typeof UNEVEN;

/**
 * What a column's numbers without a unit of their own count, by its heading; or all of them, by the units in its cells.
 * @returns undefined where neither says
 */
function countedBy(column: Column, lines: readonly SheetLine[]): Amounts | Uneven | undefined {
  const numbers = lines.flatMap(({ numbers }) => {
    const number = numbers.get(column.index);
    return number === undefined || number === 'rest' ? [] : [number];
  });
  const inCells = new Set(numbers.flatMap(({ unit }) => unit ?? []));
  const inHeading = column.unit !== undefined && isUnit(column.unit) ? column.unit : undefined;
  const [mass] = [...inCells].filter((unit) => isUnit(unit));
  if (mass !== undefined) {
    if (![...inCells].every((unit) => isUnit(unit))) return 'mixed';
    return numbers.every(({ unit }) => unit !== undefined) ? mass : (inHeading ?? 'some bare');
  }
  if (inCells.size > 1) return 'mixed';
  if (inCells.has('%') || column.role === 'percent') return 'percent';
  if (inCells.has('parts') || column.role === 'parts') return 'parts';
  return inHeading;
}

function isUneven(amounts: Amounts | Uneven | undefined): amounts is Uneven {
  return amounts !== undefined && Object.hasOwn(UNEVEN, amounts);
}

/** Which column counts: percent that add up, else masses, else what there is. */
function chooseColumn(sheet: SheetLines, columns: readonly Column[], answers: Answers): Counted | Uneven | undefined {
  const all = columns.filter(counts).map((column) => ({ column, amounts: countedBy(column, sheet.lines) }));
  const filled = all.filter(({ column }) => sheet.lines.every(({ numbers }) => numbers.has(column.index)));
  const usable = filled.length > 0 ? filled : all;
  const addsUp = usable.find(
    ({ column, amounts }) =>
      amounts === 'percent' &&
      (['point', 'comma'] as const).some((mark) => isEqual(sumOf(sheet.lines, column.index, mark) ?? ONE, HUNDRED)),
  );
  const masses = usable.find(({ amounts }) => amounts !== undefined && isUnit(amounts));
  const other = usable.find(({ amounts }) => amounts === 'percent' || amounts === 'parts') ?? usable[0];
  const chosen = addsUp ?? masses ?? other;
  if (chosen === undefined) return undefined;
  const { column, amounts } = chosen;
  return isUneven(amounts) ? amounts : { column, amounts: amounts ?? answers.amounts };
}

/** A number of a cell in the counting of the whole sheet: masses in grams, all else as it stands. */
function amountOf(number: CellNumber, amounts: Amounts, mark: Mark): Decimal | undefined {
  const decimal = decimalOf(number.digits, mark);
  if (decimal === undefined || !isUnit(amounts)) return decimal;
  const unit: Unit = number.unit !== undefined && isUnit(number.unit) ? number.unit : amounts;
  try {
    return { digits: BigInt(toMicrograms(decimal.digits, decimal.scale, unit)), scale: 6 };
  } catch {
    return undefined;
  }
}

/** Draft lines of one column; faults where a number can't be read or makes no sense. */
function draftLines(
  lines: readonly SheetLine[],
  { column, amounts }: { column: Column; amounts: Amounts },
  mark: Mark,
) {
  const faults: string[] = [];
  const notes: string[] = [];
  const read = lines.flatMap(({ numbers, ...line }): DraftLine[] => {
    const number = numbers.get(column.index);
    const amount = number === undefined || number === 'rest' ? number : amountOf(number, amounts, mark);
    if (amount === undefined) {
      const shown = number === undefined || number === 'rest' ? 'nothing' : `\`${number.digits}\``;
      faults.push(`Line ${line.line}: ${line.name} has ${shown} where its amount should be (with a decimal ${mark}).`);
    } else if (amount === 'rest' && amounts !== 'percent') {
      faults.push(
        `Line ${line.line}: ${line.name} is to fill up to 100, but the sheet does not count in percent. Give its amount.`,
      );
    } else if (amount !== 'rest' && amount.digits < 0n) {
      faults.push(`Line ${line.line}: ${line.name} has less than nothing.`);
    } else if (amount !== 'rest' && amount.digits === 0n) {
      notes.push(`${line.name} has 0 and is left out.`);
    } else return [{ ...line, amount }];
    return [];
  });
  return { lines: read, faults, notes };
}

/**
 * A decimal comma without quotes, in a sheet whose cells are parted by commas, tears a number in two: `12,5` becomes 12,
 * and a cell more than there are headings for.
 */
function tornNumbers(rows: readonly Row[], columns: readonly Column[], heading: Row | undefined): string | undefined {
  if (heading === undefined) {
    if (columns.filter(counts).length < 2) return undefined;
    return 'There are several columns of numbers, and no headings that say which is what. Give the columns headings, such as Phase, Ingredient, Percent.';
  }
  const width = heading.cells.findLastIndex((cell) => cell !== '') + 1;
  const torn = rows.find(({ cells }) => cells.slice(width).some((cell) => cellNumber(cell) !== undefined));
  if (torn === undefined) return undefined;
  return `Line ${torn.line} has a number in a column without a heading. If numbers are written with a decimal comma, save the sheet with semicolons or tabs between its cells.`;
}

/** Reads a formula out of a sheet. All that has to be asked is asked at once, as far as it can be told. */
export function understand(rows: readonly Row[], answers: Answers = {}): Understood {
  const at = rows.slice(0, HEADING_WITHIN).findIndex((row) => headingRow(row) !== undefined);
  const heading = rows[at];
  const columns = (heading && headingRow(heading)) ?? guessedColumns(rows);
  const named = columns.some(({ role }) => role === 'name' || role === 'inci');
  if (!named || !columns.some(counts)) {
    const what = named ? 'amounts' : 'ingredients';
    return {
      kind: 'faults',
      faults: [`No column of ${what} can be told. Give the columns headings, such as Phase, Ingredient, Percent.`],
    };
  }
  const torn = tornNumbers(rows.slice(at + 1), columns, heading);
  if (torn !== undefined) return { kind: 'faults', faults: [torn] };
  const sheet = sheetLines(rows.slice(at + 1), columns);
  if (sheet.faults.length > 0) return { kind: 'faults', faults: sheet.faults };
  if (sheet.lines.length === 0) return { kind: 'faults', faults: ['There is no ingredient with an amount in it.'] };

  const counted = chooseColumn(sheet, columns, answers);
  if (counted === undefined || typeof counted === 'string') {
    return { kind: 'faults', faults: [UNEVEN[counted ?? 'mixed']] };
  }
  const mark = decimalMark(sheet, counted, answers);
  const sum = typeof mark === 'string' ? sumOf(sheet.lines, counted.column.index, mark) : undefined;
  const rest = sheet.lines.some(({ numbers }) => numbers.get(counted.column.index) === 'rest');
  const amounts = counted.amounts ?? (rest || (sum && isEqual(sum, HUNDRED)) ? 'percent' : undefined);
  const questions = [...(typeof mark === 'string' ? [] : [mark]), ...(amounts === undefined ? [AMOUNTS] : [])];
  if (typeof mark !== 'string' || amounts === undefined) return { kind: 'questions', questions };

  const { lines, faults, notes } = draftLines(sheet.lines, { column: counted.column, amounts }, mark);
  if (faults.length > 0) return { kind: 'faults', faults };
  if (counted.amounts === undefined)
    notes.push(rest ? 'The numbers are taken as percent.' : 'The numbers add up to 100 and are taken as percent.');
  const used = new Set(lines.map(({ phase }) => phase));
  const draft: Draft = {
    amounts: isUnit(amounts) ? 'g' : amounts,
    phases: sheet.phases.filter(({ id }) => used.has(id)),
    lines,
    notes: [...sheet.notes, ...notes, ...statedTotal(sheet, counted.column, mark, sum)],
  };
  return amounts === 'percent' ? settlePercent(draft, answers) : { kind: 'draft', draft };
}

/** A total row that says something else than the rows is a sign of a row that is missing. */
function statedTotal(
  { totals, lines }: SheetLines,
  { index }: Column,
  mark: Mark,
  sum: Fraction | undefined,
): string[] {
  const total = totals.get(index);
  const stated = total && decimalOf(total.digits, mark);
  const sameUnit = lines.every(({ numbers }) => {
    const number = numbers.get(index);
    return number === 'rest' || number?.unit === total?.unit;
  });
  if (!stated || !sum || !sameUnit || isEqual(asFraction(stated), sum)) return [];
  if (lines.some(({ numbers }) => numbers.get(index) === 'rest')) return [];
  const off = Math.abs(Number(stated.digits) / 10 ** stated.scale - Number(sum.n) / Number(sum.d));
  return off < 0.5 * 10 ** -stated.scale * lines.length
    ? []
    : [`The sheet's own total is ${total?.digits ?? ''}, and its rows add up to something else: is one missing?`];
}
