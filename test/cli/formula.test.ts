/** `bismar formula import` and `new`, from the file on the disk to the formula in the workshop's folder. */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Ending } from '../../src/cli/exit.ts';
import { formulaCheck } from '../../src/cli/formula/formulaCheck.ts';
import { formulaImport, type ImportOptions } from '../../src/cli/formula/formulaImport.ts';
import { formulaNew } from '../../src/cli/formula/formulaNew.ts';
import { demo, formulaFrom } from '../plan/fixtures.ts';

const sheets = fileURLToPath(new URL('../bring/sheets/', import.meta.url));
let folder = '';
let printed: string[] = [];
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'bismar-formula-'));
  cpSync(new URL('../../fixtures/demo/workshop.yaml', import.meta.url), join(folder, 'workshop.yaml'));
  printed = [];
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const print = (line: string) => void printed.push(line);

/** Runs an import that nobody is there to answer; an ending gives its sentences. */
async function bring(
  sheet: string,
  options: Omit<ImportOptions, 'in'> = {},
  world = { input: undefined as PassThrough | undefined, print },
) {
  const file = sheet.includes('/') ? sheet : join(sheets, `${sheet}.csv`);
  try {
    return await formulaImport(file, { in: folder, ...options }, world);
  } catch (error) {
    if (error instanceof Ending) return error.message;
    throw error;
  }
}

const written = (name: string) => readFileSync(join(folder, 'formulas', `${name}.yaml`), 'utf8');
const files = () => readdirSync(folder, { recursive: true }).map(String).sort();
/** A maker whose answers are there before the questions. */
function answering(...lines: string[]): PassThrough {
  const input = new PassThrough();
  input.end(lines.map((line) => `${line}\n`).join(''));
  return input;
}

describe('formula import', () => {
  it('writes a formula that the workshop can read, and says what it took for what', async () => {
    expect(await bring('plain-percent', { name: 'Spring lotion', vessel: ['A=melt-jug', 'mixing-bowl'] })).toBe(0);
    const formula = formulaFrom(written('spring-lotion'), demo);
    expect(formula.name).toBe('Spring lotion');
    expect(formula.phases.map(({ vessel }) => vessel)).toEqual(['melt-jug', 'mixing-bowl', 'mixing-bowl']);
    expect(formula.phases[1]?.work[0]).toMatchObject({ ingredient: 'water', share: 805_000 });
  });

  it('grams become parts of a usual batch of as many grams, exactly', async () => {
    expect(await bring('semicolon-decimal-comma', { vessel: ['mixing-bowl'], band: '1 %' })).toBe(0);
    const formula = formulaFrom(written('semicolon-decimal-comma'), demo);
    expect(formula).toMatchObject({ batch: 1_390_354_000, parts: 1_390_354_000 });
  });

  it('does not know the vessels: asks, and changes nothing meanwhile', async () => {
    const before = files();
    expect(await bring('plain-percent')).toMatch(/--vessel A=VESSEL: for phase A[\s\S]*There are: melt-jug/);
    expect(files()).toEqual(before);
  });

  it('asks a maker who is there, question by question, in words', async () => {
    const input = answering('perhaps', 'g', 'melt', 'melt-jug');
    expect(await bring('what-do-they-count', {}, { input, print })).toBe(0);
    expect(printed.join('\n')).toMatch(/does not say what its numbers are[\s\S]*percent: percent of the batch/);
    expect(formulaFrom(written('what-do-they-count'), demo).batch).toBe(43_000_000);
  });

  it.each([['q'], []])('a maker who leaves halfway leaves nothing (%s)', async (...last) => {
    const before = files();
    expect(await bring('what-do-they-count', {}, { input: answering('g', ...last), print })).toBe(1);
    expect(printed.at(-1)).toBe('You left before the end. Nothing was written.');
    expect(files()).toEqual(before);
  });

  it('new ingredients: says which, writes entries to look over, and never touches the workshop file', async () => {
    const workshop = readFileSync(join(folder, 'workshop.yaml'), 'utf8');
    const said = await bring('parts', { vessel: ['mixing-bowl'] });
    expect(said).toMatch(/does not know these ingredients[\s\S]*Wax[\s\S]*Resin/);
    expect(readFileSync(join(folder, 'new-ingredients.yaml'), 'utf8')).toMatch(/ {2}wax:\n {4}name: Wax\n/);
    expect(readFileSync(join(folder, 'workshop.yaml'), 'utf8')).toBe(workshop);
    expect(files()).not.toContain('formulas');
    expect(await bring('parts', { vessel: ['mixing-bowl'] })).toContain('is there already and was left as it is');
    const same = ['Wax=shea-butter', 'Resin=cocoa-butter', 'Fragrance=lavender-oil'];
    expect(await bring('parts', { vessel: ['mixing-bowl'], same })).toBe(0);
    expect(printed).toContain('Wax is taken as shea-butter.');
  });

  it('never writes over a formula', async () => {
    await bring('fractions', { vessel: ['mixing-bowl'] });
    const before = written('fractions');
    expect(await bring('fractions', { vessel: ['melt-jug'] })).toMatch(/already\. Nothing was changed/);
    expect(written('fractions')).toBe(before);
  });

  it('a file of 200 MB is refused by its size, and not read', async () => {
    const file = join(folder, 'huge.csv');
    writeFileSync(file, 'Ingredient,%\n');
    truncateSync(file, 200_000_000); // sparse: it takes no room on the disk
    const before = process.memoryUsage().arrayBuffers;
    expect(await bring(file)).toMatch(/larger than 1 MB: that is no formula\. It was not read/);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(10_000_000);
  });

  it.each([
    ['a folder', () => folder, /It is no file/],
    ['a device without end', () => '/dev/zero', /It is no file/],
    ['nothing', () => join(folder, 'none.csv'), /It is not there/],
    ['a spreadsheet formula', () => join(sheets, 'formula-injection.csv'), /can't be brought in[\s\S]*It was not run/],
    ['a picture', () => binary(), /It is not text, but some other kind of file/],
  ])('%s gets a sentence', async (_, file, words) => {
    expect(await bring(file())).toMatch(words);
  });

  function binary(): string {
    const file = join(folder, 'picture.csv');
    writeFileSync(
      file,
      Uint8Array.from({ length: 5_000 }, (_, i) => (i * 7) % 256),
    );
    return file;
  }

  it.each([
    [{ decimal: 'dot' }, /--decimal wants/],
    [{ amounts: 'cups' }, /--amounts wants/],
    [{ sum: 'yes' }, /--sum wants/],
    [{ vessel: ['bucket'] }, /`bucket` is no vessel/],
    [{ same: ['Glycerin=glycerine'] }, /did you mean `glycerin`/],
    [{ vessel: ['mixing-bowl'], band: 'a bit' }, /Nothing was written[\s\S]*expected a band such as/],
  ])('an option that can not be: %j', async (options, words) => {
    expect(await bring('fractions', options)).toMatch(words);
    expect(files()).not.toContain('formulas');
  });
});

describe('formula new', () => {
  const form = (...lines: string[]) => formulaNew({ in: folder }, { input: answering(...lines), print });

  it('asks, shows the sum as it grows, shows the whole, and writes it after a yes', async () => {
    const phaseA = ['Melt', 'nowhere', 'melt-jug', 'shea-butter', '-4', '40', ''];
    const phaseB = ['Liquids', 'mixing-bowl', 'glycerine', 'Glycerin', 'rest', ''];
    expect(await form('Hand bar', 'volume', 'percent', ...phaseA, ...phaseB, '', '1 %', 'yes')).toBe(0);
    expect(printed).toContain('40 % so far, 60 % to go');
    expect(printed.join('\n')).toMatch(/has no vessel of that name[\s\S]*That is no amount[\s\S]*Perhaps glycerin/);
    const formula = formulaFrom(written('hand-bar'), demo);
    expect(formula.phases[1]?.work[0]).toMatchObject({ ingredient: 'glycerin', share: 600_000 });
  });

  it('does not end before the shares come to 100', async () => {
    await form('X', 'percent', 'All', 'melt-jug', 'shea-butter', '40', '', '', 'q');
    expect(printed.join('\n').replace(/\s+/g, ' ')).toContain(
      'The shares are at 40 % so far, 60 % to go. Go on with another phase',
    );
    expect(files()).not.toContain('formulas');
  });

  it('in grams, with a unit where one is typed', async () => {
    expect(
      await form('Y', 'grams', '', 'melt-jug', 'shea-butter', '1.2 kg', 'glycerin', '0,5', '', '', '', 'yes'),
    ).toBe(0);
    expect(formulaFrom(written('y'), demo).batch).toBe(1_200_500_000);
  });

  it('takes no comma for a decimal one where it may stand between thousands', async () => {
    const answers = ['', 'melt-jug', 'shea-butter', '1,234', '1.234', '', '', '', 'yes'];
    expect(await form('W', 'grams', ...answers)).toBe(0);
    expect(printed.join(' ').replace(/\s+/g, ' ')).toContain('without a mark between thousands');
    expect(formulaFrom(written('w'), demo).batch).toBe(1_234_000);
  });

  it('writes nothing without a yes', async () => {
    expect(await form('Z', 'parts', 'All', 'melt-jug', 'shea-butter', '3', '', '', '', 'no')).toBe(1);
    expect(files()).not.toContain('formulas');
  });
});

describe('formula check', () => {
  const limits = ['{ of: water, most: 60 %, why: a }', '{ of: glycerin, most: 60 %, why: b }'];
  it.each([
    [0, 'exactly 100 %, and it states no highest levels.'],
    [1, 'exactly 100 %, and its highest level is kept.'],
    [2, 'exactly 100 %, and its 2 highest levels are kept.'],
  ])('with %i highest levels it says so in a whole sentence', async (stated, said) => {
    const levels =
      stated === 0
        ? ''
        : `limits:\n${limits
            .slice(0, stated)
            .map((limit) => `  - ${limit}\n`)
            .join('')}`;
    const file = join(folder, 'two.yaml');
    writeFileSync(
      file,
      `name: Two\nversion: 1\n${levels}phases:\n  - phase: A\n    name: All\n    vessel: mixing-bowl\n    work:\n      - { draw: water, share: 50 %, band: 2 % }\n      - { draw: glycerin, share: 50 %, band: 2 % }\n`,
    );
    const written = vi.spyOn(process.stdout, 'write').mockReturnValue(true);
    try {
      await formulaCheck(file, { in: folder });
      expect(String(written.mock.calls[0]?.[0]).replace(/\s+/g, ' ')).toContain(said);
    } finally {
      written.mockRestore();
    }
  });
});
