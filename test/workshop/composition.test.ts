import { describe, expect, it } from 'vitest';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

const text = (ingredients: string) => `
name: Parts
operators: [Ann]
scales:
  bench: { capacity: 5 kg, d: 0.1 g, keyed: yes }
vessels: {}
ingredients:
  blend:
    name: Blend
    inci: Phenoxyethanol, Ethylhexylglycerin
    made of:
      - { inci: Phenoxyethanol, share: 90 % }
      - { inci: Ethylhexylglycerin, share: 10 % }
${ingredients}
`;

function read(ingredients: string) {
  const result = readWorkshop('workshop.yaml', text(ingredients));
  if (!result.ok) throw new Error(printProblems(result.problems));
  return result.workshop.ingredients;
}

function problems(ingredients: string): string {
  const result = readWorkshop('workshop.yaml', text(ingredients));
  return result.ok ? '' : printProblems(result.problems);
}

describe('what an ingredient is made of', () => {
  it('is read with shares, other ingredients, names for the US and marks', () => {
    const stock = read(`
  stock:
    name: Red stock
    inci: Aqua, CI 17200
    made of:
      - { inci: Aqua, share: 98.5 % }
      - { inci: CI 17200, us: D&C Red No. 33, share: 0.7 % }
      - { inci: Titanium Dioxide, colour: yes, nano: yes, share: 0.3 % }
      - { of: blend, share: 0.5 % }
    allergens: []
    lots:
      S-1:
        on hand: 5 g
        made of: [{ inci: Aqua, share: 100 % }]
        allergens: [{ inci: Linalool, share: 0.0001 % }]
`).get('stock');
    expect(stock?.madeOf).toEqual([
      { inci: 'Aqua', ppm: 985_000 },
      { inci: 'CI 17200', us: 'D&C Red No. 33', ppm: 7_000 },
      { inci: 'Titanium Dioxide', colour: true, nano: true, ppm: 3_000 },
      { of: 'blend', ppm: 5_000 },
    ]);
    expect(stock?.allergens).toEqual([]);
    expect(stock?.lots[0]?.madeOf).toEqual([{ inci: 'Aqua', ppm: 1_000_000 }]);
    expect(stock?.lots[0]?.allergens).toEqual([{ inci: 'Linalool', ppm: 1 }]);
  });

  it('is left out where nothing is stated', () => {
    expect(read('').get('blend')).not.toHaveProperty('allergens');
  });
});

const made = (list: string) => `
  x:
    name: X
    inci: X
    ${list}`;

describe('a faulty composition is told', () => {
  it.each([
    [
      'made of: [{ inci: Aqua, share: 99.9 % }]',
      /x\.made of\s+found [^,]*, expected shares that add up to 100 %.*99\.9 %/s,
    ],
    ['made of: []', /expected at least one entry/],
    ['made of: [{ inci: Aqua, share: 0 % }, { inci: B, share: 100 % }]', /expected a share above 0 %/],
    ['made of: [{ inci: Aqua }]', /expected a share such as `50 %`/],
    ['made of: [{ share: 100 % }]', /expected either `inci`, a substance, or `of`/],
    ['made of: [{ inci: A, of: blend, share: 100 % }]', /expected either `inci`, a substance, or `of`/],
    ['made of: [{ of: blend, us: B, share: 100 % }]', /expected no `us` beside `of`/],
    ['made of: [{ inci: "Aqua, Glycerin", share: 100 % }]', /expected one INCI name: each part is an entry of its own/],
    ['made of: [{ of: blond, share: 100 % }]', /expected one of the ingredients.*did you mean `blend`/s],
    ['made of: [{ of: x, share: 100 % }]', /expected an ingredient whose own parts do not lead back here/],
    ['allergens: [{ inci: Linalool, share: 1 % }, { inci: linalool, share: 1 % }]', /expected each allergen once/],
    ['made of: [{ inci: "A\\u202Eb", share: 100 % }]', /expected one INCI name, at most 120 characters/],
  ])('%s', (list, problem) => {
    expect(problems(made(list))).toMatch(problem);
  });

  it('ingredients made of each other, and any that lead into such a circle', () => {
    const ring = (name: string, of: string) =>
      `  ${name}: { name: N, inci: I, made of: [{ of: ${of}, share: 100 % }] }`;
    const told = problems([ring('a', 'b'), ring('b', 'c'), ring('c', 'a'), ring('d', 'a')].join('\n'));
    expect(told.match(/do not lead back here/g)).toHaveLength(4);
  });

  it('a web of forty ingredients that all name each other, at once', () => {
    const names = Array.from({ length: 40 }, (_, n) => `n${n}`);
    const told = problems(
      names
        .map((name) => {
          const parts = names.filter((other) => other !== name).map((of) => `{ of: ${of}, share: 1 % }`);
          return `  ${name}: { name: N, inci: I, made of: [${parts}, { inci: A, share: 61 % }] }`;
        })
        .join('\n'),
    );
    expect(told).toMatch(/do not lead back here/);
  });

  it('ingredients six deep, not those five deep', () => {
    const chain = (length: number) =>
      Array.from({ length }, (_, n) => {
        const part = n === 0 ? 'inci: A' : `of: n${n - 1}`;
        return `  n${n}: { name: N, inci: I, made of: [{ ${part}, share: 100 % }] }`;
      }).join('\n');
    expect(problems(chain(6))).toBe('');
    expect(problems(chain(7))).toMatch(/nor go deeper than 5/);
  });
});
