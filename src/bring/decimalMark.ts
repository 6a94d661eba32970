/** Which mark is the decimal one: told by the numbers of the whole sheet, by what they add up to, or asked. */
import { type Fraction, fraction, isEqual, sumOfFractions } from '../formula/fraction.ts';
import type { Decimal } from '../mass/text.ts';
import { decimalOf, type Mark, markIn } from './cellNumber.ts';
import type { Column } from './headers.ts';
import type { Amounts, Answers, Question } from './model.ts';
import type { SheetLine, SheetLines } from './sheetLines.ts';

export const HUNDRED: Fraction = fraction(100n, 1n);

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

export function asFraction({ digits, scale }: Decimal): Fraction {
  return fraction(digits, 10n ** BigInt(scale));
}

/** One column of amounts with what it counts. */
export interface Counted {
  readonly column: Column;
  readonly amounts: Amounts | undefined;
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
export function sumOf(lines: readonly SheetLine[], index: number, mark: Mark): Fraction | undefined {
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

export function decimalMark(sheet: SheetLines, counted: Counted, answers: Answers): Mark | Question {
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
