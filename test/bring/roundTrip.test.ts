/** Out to a spreadsheet and back: the same shares, the same ingredients, and nothing that a spreadsheet runs. */
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fileText } from '../../src/bring/fileText.ts';
import { formulaCsv } from '../../src/bring/formulaCsv.ts';
import { formulaText } from '../../src/bring/formulaText.ts';
import { ingredientSkeleton } from '../../src/bring/ingredientSkeleton.ts';
import { matchIngredients } from '../../src/bring/match.ts';
import { readTable } from '../../src/bring/readTable.ts';
import { understand } from '../../src/bring/understand.ts';
import { cleanText } from '../../src/facts/cleanText.ts';
import { fraction } from '../../src/formula/fraction.ts';
import type { Formula } from '../../src/formula/model.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { demo, demoFormula, fixture, formulaFrom, workshopFrom } from '../plan/fixtures.ts';

function back(csv: string, workshop: Workshop, vessel: string): Formula {
  const text = fileText(new TextEncoder().encode(csv));
  const table = text.ok ? readTable(text.text) : text;
  const found = table.ok ? understand(table.rows) : undefined;
  if (found?.kind !== 'draft') throw new Error(JSON.stringify(found ?? table));
  const { draft } = found;
  const { known, unknown } = matchIngredients(draft.lines, workshop);
  expect(unknown).toEqual([]);
  const ids = new Map([...known].map(([name, { id }]) => [name, id]));
  const vessels = new Map(draft.phases.map(({ id }) => [id, vessel]));
  return formulaFrom(formulaText(draft, { name: 'Back', vessels, band: '2 %', ids }), workshop);
}

function sharesOf({ phases, whole = 1_000_000 }: Formula) {
  return phases.map(({ id, name, work }) => ({
    id,
    name,
    draws: work.flatMap((item) =>
      item.kind === 'draw' ? [{ of: item.ingredient, share: fraction(BigInt(item.share), BigInt(whole)) }] : [],
    ),
  }));
}

const glazeWorkshop = workshopFrom(fixture('workshops/glaze/workshop.yaml'));
const glaze = formulaFrom(fixture('workshops/glaze/formulas/harbour-fog.yaml'), glazeWorkshop);

describe('a formula that was exported comes back', () => {
  it('in percent, with phases and notes', () => {
    const { csv, rounded } = formulaCsv(demoFormula, demo);
    const again = back(csv, demo, 'mixing-bowl');
    expect(rounded).toBe(false);
    expect(sharesOf(again)).toEqual(sharesOf(demoFormula));
    const notes = (formula: Formula) =>
      formula.phases.flatMap(({ work }) => work.flatMap((item) => (item.kind === 'draw' ? [item.note] : [])));
    expect(notes(again)).toEqual(notes(demoFormula));
  });

  it('in parts of another craft: 106.5 parts stay 106.5 parts, exactly', () => {
    const { csv, rounded } = formulaCsv(glaze, glazeWorkshop);
    expect(rounded).toBe(false);
    expect(csv).toContain('Nepheline syenite,Nepheline syenite,34,');
    const again = back(csv, glazeWorkshop, 'dry-tub');
    expect(sharesOf(again)).toEqual(sharesOf(glaze));
    expect(again.parts).toBe(106_500_000);
  });

  it('where a share has no end as a decimal, rounded at a millionth of a percent, and says so', () => {
    const thin = demo.ingredients.get('decyl-glucoside');
    if (!thin) throw new Error('the demo has decyl glucoside');
    const shop = {
      ...demo,
      ingredients: new Map(demo.ingredients).set('decyl-glucoside', { ...thin, active: 370_000 }),
    };
    const wash = formulaFrom(
      'name: W\nversion: 1\nphases:\n  - phase: A\n    name: All\n    vessel: mixing-bowl\n    work:\n      - { draw: water, share: rest, band: 2 % }\n      - { draw: decyl-glucoside, active: 4.5 %, band: 2 % }\n',
      shop,
    );
    const { csv, rounded } = formulaCsv(wash, shop);
    expect(rounded).toBe(true);
    // 4.5 / 0.37 = 12.162162...
    expect(csv).toContain(',12.162162,');
    expect(csv).toContain(',87.837838,');
    expect(sharesOf(back(csv, shop, 'mixing-bowl'))[0]?.draws[1]?.share).toEqual(fraction(12_162_162n, 100_000_000n));
  });

  it('with any shares of four decimals', () => {
    const [one, two, three] = ['shea-butter', 'glycerin', 'water'];
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 999_998 }), fc.integer({ min: 1, max: 999_998 }), (a, b) => {
        const [low, high] = a < b ? [a, b] : [b, a + 1];
        const percent = (ppm: number) => (ppm / 10_000).toFixed(4);
        const formula = formulaFrom(
          `name: X\nversion: 1\nphases:\n  - phase: A\n    name: All\n    vessel: mixing-bowl\n    work:\n${[
            [one, low],
            [two, high - low],
            [three, 1_000_000 - high],
          ]
            .map(([of, ppm]) => `      - { draw: ${of}, share: ${percent(Number(ppm))} %, band: 2 % }`)
            .join('\n')}\n`,
          demo,
        );
        expect(sharesOf(back(formulaCsv(formula, demo).csv, demo, 'mixing-bowl'))).toEqual(sharesOf(formula));
      }),
      { numRuns: 60 },
    );
  });
});

it('no cell of an export begins like a formula, whatever the ingredient is called', () => {
  const hostile = demo.ingredients.get('glycerin');
  if (!hostile) throw new Error('the demo has glycerin');
  for (const start of ['=', '+', '-', '@', '\t=', ' =', '\r=', ';=', '\ufeff=', '＝']) {
    const name = `${start}HYPERLINK("http://example.org")`;
    const workshop = {
      ...demo,
      ingredients: new Map(demo.ingredients).set('glycerin', { ...hostile, name, inci: name }),
    };
    const { csv } = formulaCsv(demoFormula, workshop);
    for (const separator of [',', ';', '\t']) {
      const rows: string[][] = parse(csv, { delimiter: separator, relax_column_count: true, relax_quotes: true });
      for (const cell of rows.flat()) expect(cell.replace(/^"/, '')).not.toMatch(/^\s*[=+@＝]|^\s*-\D/);
    }
  }
});

it('a skeleton for new ingredients is a piece of a workshop file that reads, whatever they are called', () => {
  fc.assert(
    fc.property(
      fc.array(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 25 }), { minLength: 1, maxLength: 5 }),
      (names) => {
        const cleaned = names
          .map((each) =>
            cleanText(each)
              .replace(/[^\p{L}\p{N} .:#'"{}[\]%&*!|>-]/gu, '')
              .trim(),
          )
          .filter((each) => each !== '');
        fc.pre(cleaned.length > 0);
        const text = ingredientSkeleton(
          cleaned.map((name) => ({ name, inci: undefined })),
          ['oil'],
        );
        const workshop = workshopFrom(
          `name: W\noperators: [M]\nscales: { b: { capacity: 5 kg, d: 0.1 g, keyed: yes } }\nvessels: {}\n${text}`,
        );
        expect([...workshop.ingredients.values()].map(({ name }) => name)).toEqual(
          cleaned.map((each) => each.replace(/\s+/g, ' ')),
        );
      },
    ),
    { numRuns: 60 },
  );
});

it('names are matched by what they say, not by their writing, and never guessed', () => {
  const match = (name: string, inci?: string) => {
    const { known, unknown } = matchIngredients([{ name, inci }], demo);
    return known.get(name)?.id ?? unknown[0]?.maybe.map(({ id }) => id);
  };
  expect(match('SHEA  BUTTER')).toBe('shea-butter');
  expect(match('Vitamin-E')).toBe('vitamin-e');
  expect(match('Aqua')).toBe('water');
  expect(match('some powder', 'sodium lauryl sulfoacetate')).toBe('sulfoacetate');
  expect(match('Glycerine')).toEqual(['glycerin']);
  expect(match('Butter')).not.toBe('shea-butter');
});
