import { describe, expect, it } from 'vitest';
import { formulaId, readFormula } from '../../src/formula/readFormula.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { demo, demoFormula, fixture } from '../plan/fixtures.ts';

const SOUND = `
name: Sound
version: 2
bar: 75 g
bars: 24
loss: 3 %
phases:
  - phase: A
    name: Melt
    vessel: melt-jug
    work:
      - draw: shea-butter
        share: 60 %
        band: 2 %
      - melt: Melt it.
        for: 30 s
        times: 8
  - phase: B
    name: Liquids
    vessel: mixing-bowl
    work:
      - draw: glycerin
        share: 40 %
        band: {under: 5 %, over: 0.5 g, at least: 0.02 g}
        over: never
      - combine: Pour it over.
        vessel: melt-jug
        into: mixing-bowl
`;

function read(text: string) {
  return readFormula('formulas/sound.yaml', text, demo);
}

function problemsIn(from: string | RegExp, to: string) {
  const text = SOUND.replace(from, to);
  if (text === SOUND) throw new Error(`nothing to replace: ${from}`);
  const result = read(text);
  if (result.ok) throw new Error('expected problems');
  return result.problems;
}

describe('a formula file', () => {
  it('gives the formula: shares in parts per million, bands as written, steps among the draws', () => {
    const result = read(SOUND);
    if (!result.ok) throw new Error(printProblems(result.problems));
    expect(result.formula).toMatchObject({
      id: 'sound',
      name: 'Sound',
      version: '2',
      bar: 75_000_000,
      bars: 24,
      batch: undefined,
      lossPpm: 30_000,
    });
    const [melt, liquids] = result.formula.phases;
    expect(melt?.work).toMatchObject([
      { kind: 'draw', ingredient: 'shea-butter', share: 600_000, over: 'ask', way: undefined },
      { kind: 'step', step: 'melt', say: 'Melt it.', forMs: 30_000, times: 8 },
    ]);
    expect(liquids?.work[0]).toMatchObject({
      tolerance: { under: { ppm: 50_000 }, over: { mass: 500_000 }, floor: 20_000 },
      over: 'never',
    });
    expect(liquids?.work[1]).toMatchObject({ step: 'combine', vessel: 'melt-jug', into: 'mixing-bowl' });
  });

  it('of the demo has 21 draws whose phases take 14.2, 15.5, 12.3, 55.8 and 2.2 %', () => {
    const shares = demoFormula.phases.map(({ work }) =>
      work.reduce((sum, item) => sum + (item.kind === 'draw' ? item.share : 0), 0),
    );
    expect(shares).toEqual([142_000, 155_000, 123_000, 558_000, 22_000]);
    expect(demoFormula.phases.flatMap(({ work }) => work).filter(({ kind }) => kind === 'draw').length).toBe(21);
  });

  it('keeps four decimals of a share exactly', () => {
    const result = read(SOUND.replace('60 %', '60.1234 %').replace('40 %', '39.8766 %'));
    expect(result.ok && result.formula.phases[0]?.work[0]).toMatchObject({ share: 601_234 });
  });

  it('with many faults tells them all, each with its place', () => {
    const result = readFormula('faulty-formula.yaml', fixture('workshops/faulty-formula.yaml'), demo);
    if (result.ok) throw new Error('expected problems');
    expect(printProblems(result.problems)).toMatchInlineSnapshot(`
      "faulty-formula.yaml:8:13  phases[1].vessel
          found \`melt-jgu\`, expected one of the vessels (did you mean \`melt-jug\`?)
      faulty-formula.yaml:10:15  phases[1].work[1].draw
          found \`sheabutter\`, expected one of the ingredients (did you mean \`shea-butter\`?)
      faulty-formula.yaml:12:15  phases[1].work[1].band
          found \`0 %\`, expected a band above 0 % and below 100 %
      faulty-formula.yaml:14:16  phases[1].work[2].share
          found \`40\`, expected a share such as \`5 %\`, with at most four decimals
      faulty-formula.yaml:15:9  phases[1].work[2].band.over
          found nothing, expected a band such as \`2 %\` or \`0.05 g\`
      faulty-formula.yaml:15:29  phases[1].work[2].band.above
          found the key \`above\`, expected one of the keys \`under\`, \`over\`, \`at least\`
      faulty-formula.yaml:17:16  phases[1].work[3].share
          found \`19.00001 %\`, expected a share such as \`5 %\`, with at most four decimals
      faulty-formula.yaml:18:15  phases[1].work[3].band
          found \`120 %\`, expected a band above 0 % and below 100 %
      faulty-formula.yaml:22:15  phases[1].work[4].over
          found \`always\`, expected one of \`never\`, \`ask\`, \`forgiving\`
      faulty-formula.yaml:23:16  phases[1].work[4].scale
          found \`kitchen\`, expected one of the scales (known: bench, fine)
      faulty-formula.yaml:24:9  phases[1].work[5]
          found a group of keys, expected exactly one of the keys \`draw\`, \`melt\`, \`whisk\`, \`combine\`, \`rinse\`, \`mix\`, \`rest\`, \`press\`, \`check\`, \`sum\`
      faulty-formula.yaml:26:9  phases[1].work[6].into
          found nothing, expected the vessel that it goes into
      faulty-formula.yaml:28:12  phases[2].phase
          found \`1\`, expected one to three letters such as \`A\`
      faulty-formula.yaml:31:5  phases[2].work
          found an empty list, expected at least one entry"
    `);
  });

  it.each([
    ['40 %', '39 %', 'they add up to 99 %: 1 % too little'],
    ['40 %', '40.0001 %', 'they add up to 100.0001 %: 0.0001 % too much'],
    ['60 %', '60.5 %', 'they add up to 100.5 %: 0.5 % too much'],
  ])('whose shares do not add up says the sum and the difference: %s as %s', (from, to, hint) => {
    expect(problemsIn(`share: ${from}`, `share: ${to}`)).toMatchObject([
      { path: 'phases', expected: 'shares that add up to 100 %', hint, line: 7 },
    ]);
  });

  it('tells a wrong sum along with what can not be read at all, once', () => {
    const bad = SOUND.replace('band: 2 %', 'band: a little').replace('share: 60 %', 'share: 59 %');
    const result = read(bad.replace('times: 8', 'times: often'));
    expect(result.ok ? '' : printProblems(result.problems)).toMatchInlineSnapshot(`
      "formulas/sound.yaml:7:1  phases
          found a list of 2, expected shares that add up to 100 % (they add up to 99 %: 1 % too little)
      formulas/sound.yaml:14:15  phases[1].work[1].band
          found \`a little\`, expected a band such as \`2 %\` or \`0.05 g\`
      formulas/sound.yaml:17:16  phases[1].work[2].times
          found \`often\`, expected a whole number of 1 to 100"
    `);
  });

  it('tells an unknown name and a wrong sum together', () => {
    const problems = problemsIn(/shea-butter\n {8}share: 60 %/, 'she-butter\n        share: 50 %');
    expect(problems.map(({ hint }) => hint)).toEqual([
      'they add up to 90 %: 10 % too little',
      'did you mean `shea-butter`?',
    ]);
  });

  it.each([
    ['an unknown vessel', 'vessel: melt-jug', 'vessel: melt-jugg', 'one of the vessels'],
    ['an unknown scale', 'over: never', 'scale: fin', 'one of the scales'],
    ['an unknown cup', 'over: never', 'cup: teacup', 'one of the vessels'],
    ['a cup that is not used', 'over: never', 'cup: dosing-cup\n        way: add', 'a cup only with `way: cup`'],
    ['an unknown way', 'over: never', 'way: throw', 'one of `add`, `subtract`, `cup`'],
    ['a negative band', 'band: 2 %', 'band: -2 %', 'a band above 0 % and below 100 %'],
    ['a band of nothing', 'band: 2 %', 'band: 0 %', 'a band above 0 % and below 100 %'],
    ['a band of 100 %', 'band: 2 %', 'band: 100 %', 'a band above 0 % and below 100 %'],
    ['a band of 0 g', 'band: 2 %', 'band: 0.0 g', 'a band above zero'],
    ['a band without unit', 'band: 2 %', 'band: 2', 'a band such as `2 %` or `0.05 g`'],
    ['a band that is a list', 'band: 2 %', 'band: [1 %, 2 %]', 'a band such as `2 %`, `0.05 g` or'],
    ['half a band', 'under: 5 %, ', '', 'a band such as'],
    ['no band', / {8}band: 2 %\n/, '', 'a band such as'],
    ['no share', / {8}share: 60 %\n/, '', 'a share such as `5 %`'],
    ['a share of nothing', '60 %', '0 %', 'a share above 0 %'],
    ['a negative share', '60 %', '-60 %', 'a share above 0 %'],
    ['a share of five decimals', '60 %', '60.00001 %', 'at most four decimals'],
    ['a loss of 60 %', 'loss: 3 %', 'loss: 60 %', 'a loss of 0 % to 50 %'],
    ['bars without a bar', /bar: 75 g\n/, '', 'the weight of one bar'],
    ['two sizes', 'bars: 24', 'bars: 24\nbatch: 2 kg', 'either `bars` or `batch`, not both'],
    ['half a bar', 'bars: 24', 'bars: 24.5', 'a whole number of 1 to 10000'],
    ['a phase named twice', 'phase: B', 'phase: a', 'a letter that no other phase has'],
    ['a phase named by a number', 'phase: B', 'phase: 2', 'one to three letters such as `A`'],
    ['an empty phase', / {4}work:\n {6}- draw: glycerin[\s\S]*/, '    work: []\n', 'at least one entry'],
    [
      'a combine out of an empty vessel',
      'vessel: melt-jug\n        into',
      'vessel: powders-tub\n        into',
      'a vessel that holds something by now',
    ],
    ['a combine into itself', 'into: mixing-bowl', 'into: melt-jug', 'another vessel than the one that is emptied'],
    ['a combine into nowhere', / {8}into: mixing-bowl\n/, '', 'the vessel that it goes into'],
    ['a step and a draw in one', 'melt: Melt it.', 'melt: Melt it.\n        draw: water', 'exactly one of the keys'],
    ['a share of a step', 'times: 8', 'share: 8 %', 'no `share` in a step'],
    ['a time of a draw', 'over: never', 'for: 30 s', 'no `for` in a draw'],
    ['a time without unit', 'for: 30 s', 'for: 30', 'a time such as `30 s`'],
    ['an unknown key', 'version: 2', 'versoin: 2', 'one of the keys'],
  ])('refuses %s with a sentence', (_, from, to, expected) => {
    expect(
      problemsIn(from, to)
        .map((problem) => problem.expected)
        .join('; '),
    ).toContain(expected);
  });

  it('refuses to tip out the same vessel twice', () => {
    const again = '      - combine: Once more.\n        vessel: melt-jug\n        into: mixing-bowl\n';
    expect(problemsIn(/$/, again)).toMatchObject([
      { path: 'phases[2].work[3].vessel', expected: 'a vessel that holds something by now' },
    ]);
  });

  it('names highest levels, of one ingredient or of several, as weighed or of the dried bar', () => {
    const [preservative, oils] = demoFormula.limits ?? [];
    expect(preservative).toEqual({
      ingredients: ['preservative'],
      ppm: 10_600,
      dryingPpm: 0,
      why: 'phenoxyethanol of the dried bar',
    });
    expect(oils).toMatchObject({ ingredients: ['lavender-oil', 'cedarwood-oil'], ppm: 10_000, dryingPpm: 45_000 });
  });

  it.each([
    ['of: glycerin, most: 39.9 %', 'a level that the formula keeps to', 'it has 40 %'],
    ['of: glycerin, most: 41 %, dried: 4.5 %', 'a level that the formula keeps to', 'it has 41.8849 %'],
    ['of: [glycerin, shea-butter], most: 99 %', 'a level that the formula keeps to', 'it has 100 %'],
    ['of: water, most: 1 %', 'an ingredient of this formula', ''],
  ])('is refused when it does not keep to its own level: %s', (limit, expected, hint) => {
    const problems = problemsIn('phases:\n', `limits:\n  - {${limit}, why: invented}\nphases:\n`);
    expect(problems).toMatchObject([{ expected, ...(hint ? { hint } : {}) }]);
  });

  it('a limit whose own keys are at fault is told, and nothing is thrown', () => {
    const problems = problemsIn('phases:\n', 'limits:\n  - {of: nothing-known, most: 400 %}\nphases:\n');
    expect(problems.length).toBeGreaterThan(0);
  });

  it('may have a level that it just keeps to', () => {
    const text = SOUND.replace('phases:\n', 'limits:\n  - {of: glycerin, most: 40 %, why: invented}\nphases:\n');
    expect(read(text)).toMatchObject({ ok: true });
  });

  it('is known by its file name', () => {
    expect(formulaId('formulas/oat-bar.yaml')).toBe('oat-bar');
    expect(formulaId('C:\\shop\\formulas\\Oat.YML')).toBe('Oat');
    expect(formulaId('oat-bar')).toBe('oat-bar');
  });
});
