/** From the rows of a sheet to a formula, or to the questions that the sheet leaves open. */

import { added, type Fraction, fraction, isEqual, sumOfFractions } from '../formula/fraction.ts';
import { printShare } from '../formula/shares.ts';
import type { Decimal } from '../mass/text.ts';
import { isUnit, toMicrograms, type Unit } from '../mass/units.ts';
import { type CellNumber, decimalOf, type Mark, markIn } from './cellNumber.ts';
import { type Column, guessedColumns, headingRow } from './headers.ts';
import type { Amounts, Answers, Draft, DraftLine, Question, Row, Understood } from './model.ts';
import { counts, type SheetLine, type SheetLines, sheetLines } from './sheetLines.ts';

const HUNDRED = fraction(100n, 1n);
const ONE = fraction(1n, 1n);
/** A heading stands among the first rows, below a title at most. */
const HEADING_WITHIN = 15;

const DECIMAL = (digits: string): Question => {
  const plain = digits.replace(/[.,]/g, '');
  const comma = digits.includes(',');
  const mark = comma ? 'comma' : 'point';
  const small = digits.replace(',', '.');
  return {
    option: '--decimal',
    ask: `\`${digits}\` can be read in two ways, and nothing else in the sheet tells which. What is the decimal mark?`,
    choices: [
      { answer: mark, means: `it is ${small}, a little over ${small.split('.')[0] ?? ''}` },
      { answer: comma ? 'point' : 'comma', means: `it is ${plain}, with a mark between thousands` },
    ],
  };
};

const AMOUNTS: Question = {
  option: '--amounts',
  ask: 'The sheet does not say what its numbers are. What do they count?',
  choices: [
    { answer: 'percent', means: 'percent of the batch' },
    { answer: 'g', means: 'grams (or another unit of mass: kg, mg, oz, lb)' },
    { answer: 'parts', means: 'parts, whatever they add up to' },
  ],
};

function asFraction({ digits, scale }: Decimal): Fraction {
  return fraction(digits, 10n ** BigInt(scale));
}

/** One column of amounts with what it counts. */
interface Counted {
  readonly column: Column;
  readonly amounts: Amounts | undefined;
}

/** What a column's numbers count, by its heading or by the units in its cells; undefined where neither says. */
function countedBy(column: Column, lines: readonly SheetLine[]): Amounts | undefined | 'mixed' {
  const inCells = new Set(
    lines.flatMap(({ numbers }) => {
      const number = numbers.get(column.index);
      return number === undefined || number === 'rest' || number.unit === undefined ? [] : [number.unit];
    }),
  );
  const masses = [...inCells].filter((unit) => isUnit(unit));
  if (masses.length > 0 && masses.length === inCells.size) return masses[0];
  if (inCells.size > 1) return 'mixed';
  if (inCells.has('%') || column.role === 'percent') return 'percent';
  if (inCells.has('parts') || column.role === 'parts') return 'parts';
  return column.unit !== undefined && isUnit(column.unit) ? column.unit : undefined;
}

/** The marks that all numbers of the sheet show. */
function marksOf({ lines, totals }: SheetLines): { known: Set<Mark>; open: string | undefined } {
  const known = new Set<Mark>();
  let open: string | undefined;
  for (const number of [...lines.flatMap(({ numbers }) => [...numbers.values()]), ...totals.values()]) {
    if (number === 'rest') continue;
    const mark = markIn(number.digits);
    if (mark === 'open') open ??= number.digits;
    else if (mark !== undefined) known.add(mark);
  }
  return { known, open };
}

/** The sum of a column under one reading of the marks; undefined where a number can't be read so. */
function sumOf(lines: readonly SheetLine[], index: number, mark: Mark): Fraction | undefined {
  const parts: Fraction[] = [];
  for (const { numbers } of lines) {
    const number = numbers.get(index);
    if (number === undefined || number === 'rest') continue;
    const decimal = decimalOf(number.digits, mark);
    if (decimal === undefined) return undefined;
    parts.push(asFraction(decimal));
  }
  return sumOfFractions(parts);
}

/** Which reading makes the sheet add up: to 100, or to its own total row. */
function markBySum({ lines, totals }: SheetLines, { column, amounts }: Counted): Mark | undefined {
  const fits = (['point', 'comma'] as const).filter((mark) => {
    const sum = sumOf(lines, column.index, mark);
    const total = totals.get(column.index);
    const stated = total && decimalOf(total.digits, mark);
    if (sum === undefined) return false;
    return (
      (amounts === 'percent' && isEqual(sum, HUNDRED)) ||
      (stated !== undefined && markIn(total?.digits ?? '') !== 'open' && isEqual(sum, asFraction(stated)))
    );
  });
  return fits.length === 1 ? fits[0] : undefined;
}

function decimalMark(sheet: SheetLines, counted: Counted, answers: Answers): Mark | Question {
  if (answers.decimal !== undefined) return answers.decimal;
  const { known, open } = marksOf(sheet);
  const [first, second] = [...known];
  if (second !== undefined) {
    return {
      ...DECIMAL('1.234'),
      ask: 'Some numbers have a decimal point, others a decimal comma. Which is it?',
      choices: [
        { answer: 'point', means: '2.5 is two and a half' },
        { answer: 'comma', means: '2,5 is two and a half' },
      ],
    };
  }
  if (first !== undefined) return first;
  return open === undefined ? 'point' : (markBySum(sheet, counted) ?? DECIMAL(open));
}

/** Which column counts: percent that add up, else masses, else what there is. */
function chooseColumn(sheet: SheetLines, columns: readonly Column[], answers: Answers): Counted | 'mixed' | undefined {
  const all = columns.filter(counts).map((column) => ({ column, amounts: countedBy(column, sheet.lines) }));
  const filled = all.filter(({ column }) => sheet.lines.every(({ numbers }) => numbers.has(column.index)));
  const usable = filled.length > 0 ? filled : all;
  const addsUp = usable.find(
    ({ column, amounts }) =>
      amounts === 'percent' &&
      (['point', 'comma'] as const).some((mark) => isEqual(sumOf(sheet.lines, column.index, mark) ?? ONE, HUNDRED)),
  );
  const masses = usable.find(({ amounts }) => amounts !== undefined && amounts !== 'mixed' && isUnit(amounts));
  const other = usable.find(({ amounts }) => amounts === 'percent' || amounts === 'parts') ?? usable[0];
  const chosen = addsUp ?? masses ?? other;
  if (chosen === undefined) return undefined;
  if (chosen.amounts === 'mixed') return 'mixed';
  return { column: chosen.column, amounts: chosen.amounts ?? answers.amounts };
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

function phasesAddUp(lines: readonly DraftLine[]): boolean {
  const phases = new Map<string, Fraction>();
  for (const { phase, amount } of lines) {
    if (amount === 'rest') return false;
    phases.set(phase, added(phases.get(phase) ?? fraction(0n, 1n), asFraction(amount)));
  }
  return phases.size > 1 && [...phases.values()].every((sum) => isEqual(sum, HUNDRED));
}

/** Percent must come to 100; how they do not is said, or asked. */
function settlePercent(draft: Draft, answers: Answers): Understood {
  const rest = draft.lines.filter(({ amount }) => amount === 'rest').length;
  const sum = sumOfFractions(draft.lines.flatMap(({ amount }) => (amount === 'rest' ? [] : [asFraction(amount)])));
  const share = fraction(sum.n, sum.d * 100n);
  if (rest > 1)
    return { kind: 'faults', faults: ['Two ingredients are to fill up to 100: give one of them its amount.'] };
  if (rest === 1) {
    if (share.n < share.d) return { kind: 'draft', draft };
    return {
      kind: 'faults',
      faults: [`The others add up to ${printShare(share)}: nothing is left for what fills up to 100.`],
    };
  }
  if (isEqual(sum, HUNDRED)) return { kind: 'draft', draft };
  if (isEqual(sum, ONE)) {
    const lines = draft.lines.map((each) =>
      each.amount === 'rest'
        ? each
        : { ...each, amount: { digits: each.amount.digits * 100n, scale: each.amount.scale } },
    );
    const note = 'The shares add up to 1: they are taken as fractions, and 0.05 as 5 %.';
    return { kind: 'draft', draft: { ...draft, lines, notes: [...draft.notes, note] } };
  }
  if (phasesAddUp(draft.lines)) {
    const why =
      'Each phase adds up to 100 % by itself, and how much of the batch each phase is, the sheet does not say. Write percent of the batch; or bring one phase at a time, and give each `share:` in the formula file.';
    return { kind: 'faults', faults: [why] };
  }
  if (answers.sum === 'scale') {
    const note = `The shares add up to ${printShare(share)}. As you say, they are taken as parts of that.`;
    return { kind: 'draft', draft: { ...draft, amounts: 'parts', notes: [...draft.notes, note] } };
  }
  const ask = `The shares add up to ${printShare(share)}, not to 100 %. Is a row missing or mistyped? Then mend the sheet.`;
  const means = 'no, it is only rounded: take the shares as parts of what they add up to';
  return { kind: 'questions', questions: [{ option: '--sum', ask, choices: [{ answer: 'scale', means }] }] };
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
  const sheet = sheetLines(rows.slice(at + 1), columns);
  if (sheet.faults.length > 0) return { kind: 'faults', faults: sheet.faults };
  if (sheet.lines.length === 0) return { kind: 'faults', faults: ['There is no ingredient with an amount in it.'] };

  const counted = chooseColumn(sheet, columns, answers);
  if (counted === undefined || counted === 'mixed') {
    return {
      kind: 'faults',
      faults: ['Some amounts are percent or parts and others are masses: give all of them in one.'],
    };
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
    notes: [...notes, ...statedTotal(sheet, counted.column, mark, sum)],
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
