/** Sheets of our own invention, each of another shape: the right formula, or the right question. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { fileText } from '../../src/bring/fileText.ts';
import { printDecimal } from '../../src/bring/formulaText.ts';
import type { Answers, Draft } from '../../src/bring/model.ts';
import { readTable } from '../../src/bring/readTable.ts';
import { understand } from '../../src/bring/understand.ts';

function bytesOf(name: string): Uint8Array {
  return readFileSync(new URL(`./sheets/${name}.csv`, import.meta.url));
}

function brought(bytes: Uint8Array, answers?: Answers) {
  const text = fileText(bytes);
  if (!text.ok) throw new Error(text.why);
  const table = readTable(text.text);
  if (!table.ok) throw new Error(table.why);
  return understand(table.rows, answers);
}

const fromText = (text: string, answers?: Answers) => brought(new TextEncoder().encode(text), answers);

/** `A Shea butter 40`, one line for each ingredient. */
function inShort({ lines }: Draft): string[] {
  return lines.map(
    ({ phase, name, amount }) => `${phase} ${name} ${amount === 'rest' ? 'rest' : printDecimal(amount)}`,
  );
}

function draft(name: string, answers?: Answers): Draft {
  const found = brought(bytesOf(name), answers);
  if (found.kind !== 'draft') throw new Error(JSON.stringify(found));
  return found.draft;
}

describe('a sheet gives the formula', () => {
  it.each([
    [
      'plain-percent',
      'percent',
      ['A Cetearyl alcohol 5', 'A Shea butter 4', 'B Purified water 80.5', 'B Glycerin 10', 'C Vitamin E 0.5'],
    ],
    // UTF-8 mark, semicolons, decimal commas and points between thousands, columns in another order, numbered stages.
    [
      'semicolon-decimal-comma',
      'g',
      ['A Purified water 1234.5', 'A Glycerin 55.67', 'B Corn starch 92.784', 'C Lactic acid 7.4'],
    ],
    ['tabs-units-in-cells', 'g', ['A Purified water 1200', 'A Glycerin 300', 'A Lavender oil 12.5', 'A Vitamin E 2.5']],
    ['phase-headings', 'percent', ['A Shea butter 40', 'A Cocoa butter 20', 'B Glycerin 35', 'B Lactic acid 5']],
    ['parts', 'parts', ['A Wax 34', 'A Resin 22.5', 'A Fragrance 0.4']],
    // 1.234 and 98.766 make 100 only with a decimal point: nothing to ask.
    ['ambiguous-but-adds-up', 'percent', ['A Shea butter 1.234', 'A Glycerin 98.766']],
    ['no-headings', 'percent', ['B Glycerin 30', 'A Shea butter 69.5', 'A Vitamin E 0.5']],
    // Percent that were rounded for the eye, and the grams that they were worked out from: the grams count.
    ['rounded-percent-and-grams', 'g', ['A Shea butter 166.5', 'A Cocoa butter 166.5', 'A Vitamin E 166.5']],
    ['fills-up-to-100', 'percent', ['A Purified water rest', 'A Glycerin 3', 'A Lactic acid 0.4']],
    // As a spreadsheet keeps percent inside.
    ['fractions', 'percent', ['A Shea butter 25', 'A Glycerin 70', 'A Vitamin E 5']],
    ['nbsp-thousands-utf16', 'g', ['A Purified water 1234.5', 'A Glycerin 12.25', 'A Café butter 1000']],
    ['old-code-page', 'g', ['A Café butter 20.5', 'A Glycerin 1200']],
  ])('%s', (name, amounts, lines) => {
    const got = draft(name);
    expect(got.amounts).toBe(amounts);
    expect(inShort(got)).toEqual(lines);
  });

  it('with the names of its phases, the INCI names and the remarks', () => {
    expect(draft('phase-headings').phases).toEqual([
      { id: 'A', name: 'Melt' },
      { id: 'B', name: 'Liquids' },
    ]);
    expect(draft('phase-headings').lines[0]?.note).toBe('break small, off the scale');
    expect(draft('plain-percent').lines[2]?.inci).toBe('Aqua');
    expect(draft('semicolon-decimal-comma').phases.map(({ name }) => name)).toEqual(['Phase 2', 'Phase 1', 'Phase 3']);
  });
});

describe('what a sheet does not tell is asked, and the answer settles it', () => {
  it.each([
    ['ambiguous', '--decimal', { decimal: 'point' as const }, ['A Shea butter 1.234', 'A Glycerin 98.766']],
    ['ambiguous', '--decimal', { decimal: 'comma' as const }, ['A Shea butter 1234', 'A Glycerin 98766']],
    [
      'what-do-they-count',
      '--amounts',
      { amounts: 'g' as const },
      ['A Shea butter 12.5', 'A Glycerin 30', 'A Vitamin E 0.5'],
    ],
    [
      'what-do-they-count',
      '--amounts',
      { amounts: 'kg' as const },
      ['A Shea butter 12500', 'A Glycerin 30000', 'A Vitamin E 500'],
    ],
    [
      'adds-up-to-99.9',
      '--sum',
      { sum: 'scale' as const },
      ['A Shea butter 33.3', 'A Cocoa butter 33.3', 'A Vitamin E 33.3'],
    ],
  ])('%s: %s', (name, option, answers, lines) => {
    expect(brought(bytesOf(name))).toMatchObject({ kind: 'questions', questions: [{ option }] });
    expect(inShort(draft(name, answers))).toEqual(lines);
  });

  it('grams that are percent by the answer must come to 100, too', () => {
    expect(brought(bytesOf('what-do-they-count'), { amounts: 'percent' })).toMatchObject({
      questions: [{ option: '--sum', ask: expect.stringContaining('add up to 43 %') }],
    });
  });

  it('points and commas by turns', () => {
    expect(fromText('Ingredient;grams\na;1,5\nb;2.25\n')).toMatchObject({ questions: [{ option: '--decimal' }] });
  });

  it('both questions at once', () => {
    expect(fromText('Ingredient;Amount\na;1.500\nb;2.250\n')).toMatchObject({
      questions: [{ option: '--decimal' }, { option: '--amounts' }],
    });
  });
});

describe('what is wrong is said with its line', () => {
  it.each([
    ['a formula of a spreadsheet', '=HYPERLINK("x"),5', /Line 3: `=HYPERLINK\("x"\)` is a spreadsheet's own formula/],
    ['its error', 'Water,#REF!', /Line 3: `#REF!`/],
    ['a formula behind a sign', '@SUM(A1),5', /not a value/],
    ['no amount', 'Water,', /Line 3: Water has no amount/],
    ['a word for an amount', 'Water,some', /Line 3: `some` is no amount/],
    ['less than nothing', 'Water,-5', /Water has less than nothing/],
    ['to 100 among grams', 'Water,q.s.', /Water is to fill up to 100, but the sheet does not count in percent/],
    ['a number past all reading', 'Water,1.2.3.4', /Water has `1\.2\.3\.4` where its amount should be/],
  ])('%s', (_, row, words) => {
    const found = fromText(`Ingredient,grams,note\nShea butter,20.5,\n${row},x\nGlycerin,1.5,\n`);
    expect(found.kind).toBe('faults');
    expect(found.kind === 'faults' ? found.faults.join('\n') : '').toMatch(words);
  });

  it('percent of each phase, where nothing says how much each phase is', () => {
    expect(fromText('Phase,Ingredient,%\nA,a,60\nA,b,40\nB,c,100\n')).toMatchObject({
      faults: [expect.stringContaining('Each phase adds up to 100 % by itself')],
    });
  });

  it('numbers that a comma without quotes has torn in two: never taken for whole ones', () => {
    const torn = 'Ingredient,grams\nShea butter,12,5\nGlycerin,87,25\n';
    expect(fromText(torn)).toMatchObject({
      faults: [expect.stringMatching(/Line 2 has a number in a column without a heading/)],
    });
    expect(fromText('Shea butter,12,5\nGlycerin,87,5\n')).toMatchObject({
      faults: [expect.stringContaining('several columns of numbers')],
    });
  });

  it('a total row that the rows do not come to', () => {
    const found = fromText('Ingredient,grams\na,20\nb,30\nTotal,60\n');
    expect(found).toMatchObject({ draft: { notes: [expect.stringContaining('own total is 60')] } });
  });

  it('percent and masses by turns', () => {
    expect(fromText('Ingredient,amount\na,20 %\nb,30 g\n')).toMatchObject({
      faults: [expect.stringContaining('all of them in one')],
    });
  });
});

describe('a file that is no sheet gets a sentence', () => {
  const table = (text: string) => {
    const read = readTable(text);
    return read.ok ? 'a table' : read.why;
  };

  it('binary files, workbooks, nothing at all', () => {
    expect(fileText(new Uint8Array([0x89, 0x50, 0x4e, 0x47, 0, 1, 2]))).toMatchObject({
      why: expect.stringContaining('not text'),
    });
    expect(fileText(new TextEncoder().encode('PK\u0003\u0004 workbook'))).toMatchObject({
      why: expect.stringContaining('packed file'),
    });
    expect(fileText(new TextEncoder().encode(' \n'))).toMatchObject({ why: 'It is empty.' });
  });

  it.each([
    ['a quote that is never closed', `Ingredient,%\n"${'a,b\n'.repeat(200_000)}`],
    ['one endless row', `Ingredient,%\n${'x,'.repeat(400_000)}\n`],
    ['rows without end', 'a,1\n'.repeat(200_000)],
    ['columns without end', `${'x,'.repeat(5_000)}\n`.repeat(20)],
    ['one column', 'water\nsalt\n'],
  ])('%s', (_, text) => {
    expect(table(text)).toMatch(/that is no formula|can not be told apart|one column only/);
  });
});

it.each([
  ['Amount g', 'g'],
  ['Weight kg', 'g'],
  ['Quantity %', 'percent'],
  ['Amount (g)', 'g'],
  ['Weight in g', 'g'],
])('a heading names its unit behind the word: %s', (heading, amounts) => {
  const found = fromText(`Ingredient,${heading}\nWater,60\nGlycerin,40\n`);
  expect(found).toMatchObject({ kind: 'draft', draft: { amounts } });
});

describe('a number is never taken in another unit, or torn, or left out in silence', () => {
  const got = (text: string, answers?: Answers) => {
    const found = fromText(text, answers);
    return found.kind === 'draft'
      ? inShort(found.draft)
      : found.kind === 'faults'
        ? found.faults.join(' ')
        : found.kind;
  };

  it('a bare number counts in the unit of its heading, whatever units other cells name', () => {
    const grams = 'Ingredient,Amount (g)\nShea butter,500\nWater,1 kg\nGlycerin,20\n';
    expect(got(grams)).toEqual(['A Shea butter 500', 'A Water 1000', 'A Glycerin 20']);
    const kilograms = 'Ingredient,Amount (kg)\nShea butter,0.5\nWater,1\nDye,20 g\n';
    expect(got(kilograms)).toEqual(['A Shea butter 500', 'A Water 1000', 'A Dye 20']);
  });

  it('where no heading names one, units in some cells only are a fault', () => {
    expect(got('Ingredient,Amount\nShea butter,500 g\nWater,1\nGlycerin,20\n')).toMatch(/Some amounts have a unit/);
    expect(got('Ingredient,Amount\nShea butter,50 g\nWater,50\n')).toMatch(/Some amounts have a unit/);
  });

  it('a column of units counts, and what is no mass is told', () => {
    const lines = (last: string) => `Ingredient,Quantity,Unit\nShea butter,500,g\nWater,1,${last}\n`;
    expect(got(lines('kg'))).toEqual(['A Shea butter 500', 'A Water 1000']);
    expect(got(lines('ml'))).toMatch(/Line 3: `ml` is no unit of mass/);
    expect(got(lines(''))).toMatch(/Some amounts have a unit/);
  });

  it('semicolons between cells and a decimal comma, without headings', () => {
    const sheet = 'Shea butter;12,5\nWater;80,25\nGlycerin;7,25\n';
    expect(got(sheet)).toEqual(['A Shea butter 12.5', 'A Water 80.25', 'A Glycerin 7.25']);
  });

  it('an ingredient whose remark begins with the word total', () => {
    const sheet = 'Ingredient,g,Note\nShea butter,500,Total active 50 %\nGlycerin,20,sum of both\nTotal,520,\n';
    expect(got(sheet)).toEqual(['A Shea butter 500', 'A Glycerin 20']);
  });

  it('an amount without a name between others', () => {
    const sheet = (name: string) => `Ingredient,g\nShea butter,500\n${name},200\nGlycerin,20\n`;
    expect(got(sheet(''))).toMatch(/Line 3: an amount, and no ingredient beside it/);
    expect(got(sheet('Subtotal'))).toEqual(['A Shea butter 500', 'A Glycerin 20']);
    expect(got('Ingredient,g\nShea butter,500\nGlycerin,20\n,520\nNot for sale\n')).toHaveLength(2);
  });

  it('an ingredient that begins with a letter of its own, as phases do', () => {
    const sheet = 'Ingredient,g\nD-Limonene,5\nE 471 emulsifier,2.5\nL menthol,1\nWater,100\n';
    expect(got(sheet)).toEqual(['A D-Limonene 5', 'A E 471 emulsifier 2.5', 'A L menthol 1', 'A Water 100']);
    const phases = 'Ingredient,g\nA: Melt,105\nWax,5\nPhase B - liquids,8\nWater,8\nC),1\nOil,1\n';
    expect(got(phases)).toEqual(['A Wax 5', 'B Water 8', 'C Oil 1']);
  });

  it('a name that stands alone is told to be taken for a phase', () => {
    const found = fromText('Ingredient,g\nPhase A\nShea butter,500\nGlycerin,\nWater,20\n');
    expect(found).toMatchObject({ draft: { notes: ['Line 4: Glycerin has no amount, and is taken for a phase.'] } });
  });

  it('strengths and highest levels beside the shares', () => {
    const sheet = 'Ingredient,Active %,Max %,g\nGlucoside,50,30,400\nGlycerin,50,70,200\n';
    expect(got(sheet)).toEqual(['A Glucoside 400', 'A Glycerin 200']);
  });

  it('a mark that does not stand between thousands', () => {
    const answers = { decimal: 'point' as const };
    expect(got('Ingredient,g\nShea butter,"1234,567"\nWater,2.5\n', answers)).toMatch(/where its amount should be/);
  });
});
