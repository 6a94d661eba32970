import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Fraction, fraction, isEqual, ONE, sumOfFractions } from '../../src/formula/fraction.ts';
import { readFormula } from '../../src/formula/readFormula.ts';
import { asWholeNumbers, printShare, resolveShares, type WrittenPhase } from '../../src/formula/shares.ts';
import { mass } from '../../src/mass/mass.ts';
import { splitByShares } from '../../src/mass/split.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { demo, drawOf, formulaFrom, planOf } from '../plan/fixtures.ts';
import { formulaLoop } from './formulaLoop.ts';

const of = (n: number, d = 1) => fraction(BigInt(n), BigInt(d));
const percent = (share: number): WrittenPhase['share'] => ({
  kind: 'percent',
  of: of(Math.round(share * 10_000), 1_000_000),
});
const REST = { kind: 'rest' } as const;

function phase(shares: readonly (number | 'rest')[], own?: WrittenPhase['share'], index = 0): WrittenPhase {
  return {
    share: own,
    path: ['phases', index],
    draws: shares.map((share, j) => ({
      share: share === 'rest' ? REST : (percent(share) ?? REST),
      path: ['phases', index, 'work', j, 'share'],
    })),
  };
}

function shares(phases: readonly WrittenPhase[]): readonly Fraction[] {
  const result = resolveShares(phases, 'percent');
  if (!result.ok) throw new Error(JSON.stringify(result.faults));
  return result.shares;
}

function faults(phases: readonly WrittenPhase[]) {
  const result = resolveShares(phases, 'percent');
  return result.ok ? [] : result.faults;
}

describe('shares', () => {
  it('of a phase are shares of its share of the batch', () => {
    const got = shares([phase([60, 40], percent(30)), phase([50, 20], undefined, 1)]);
    expect(got.map(printShare)).toEqual(['18 %', '12 %', '50 %', '20 %']);
  });

  it('one ingredient, or one phase, takes the rest', () => {
    expect(shares([phase([12.5, 'rest', 7.25])]).map(printShare)).toEqual(['12.5 %', '80.25 %', '7.25 %']);
    expect(shares([phase([25, 'rest'], REST), phase([10], undefined, 1)]).map(printShare)).toEqual([
      '22.5 %',
      '67.5 %',
      '10 %',
    ]);
  });

  it.each([
    ['too little', [phase([60, 39.9])], 'they add up to 99.9 %: 0.1 % too little'],
    ['too much', [phase([60, 40.0001])], 'they add up to 100.0001 %: 0.0001 % too much'],
    ['nothing for the rest', [phase([60, 40, 'rest'])], 'the others add up to 100 %'],
    ['a phase of its own', [phase([60, 30], percent(100))], 'they add up to 90 %: 10 % too little'],
  ])('%s is told, never scaled in silence', (_, phases, hint) => {
    expect(faults(phases)).toMatchObject([{ hint }]);
  });

  it('two rests are one too many', () => {
    expect(faults([phase(['rest', 'rest', 5])])).toMatchObject([{ path: ['phases', 0, 'work', 1, 'share'] }]);
  });

  it('as whole numbers are parts per million where these are enough, and else exact out of a larger whole', () => {
    expect(asWholeNumbers([of(1, 4), of(3, 4)])).toEqual({ shares: [250_000, 750_000], whole: 1_000_000 });
    expect(asWholeNumbers([of(1, 3), of(2, 3)])).toEqual({ shares: [1_000_000, 2_000_000], whole: 3_000_000 });
  });

  it('past 2^53 they are rounded to 10^-15 of the batch, and still add up', () => {
    const odd = [of(1, 999_983), of(1, 999_979), of(1, 999_961)];
    const left = fraction(ONE.n, ONE.d);
    const last = odd.reduce((rest, each) => fraction(rest.n * each.d - each.n * rest.d, rest.d * each.d), left);
    const got = asWholeNumbers([...odd, last]);
    expect(got.whole).toBe(1e15);
    expect(got.shares.reduce((sum, each) => sum + BigInt(each), 0n)).toBe(10n ** 15n);
    for (const [i, each] of odd.entries()) {
      expect(Math.abs((got.shares[i] ?? 0) - (1e15 * Number(each.n)) / Number(each.d))).toBeLessThanOrEqual(1);
    }
  });
});

/** `Wash`: 4.5 % of active matter out of a glucoside of 37 % (not a number of parts per million), water to 100. */
const WASH = `
name: Wash
version: 1
batch: 1 kg
phases:
  - phase: A
    name: All
    vessel: mixing-bowl
    work:
      - { draw: water, share: rest, band: 2 % }
      - { draw: decyl-glucoside, active: 4.5 %, band: 2 % }
      - { draw: glycerin, share: 3 %, band: 2 % }
`;
const glucoside = demo.ingredients.get('decyl-glucoside');
if (!glucoside) throw new Error('the demo has decyl glucoside');
const thinner = {
  ...demo,
  ingredients: new Map(demo.ingredients).set('decyl-glucoside', { ...glucoside, active: 370_000 }),
};

describe('active matter', () => {
  it('is given as such: the trade material follows, exactly', () => {
    const formula = formulaFrom(WASH, thinner);
    const draws = formula.phases[0]?.work.filter((item) => item.kind === 'draw') ?? [];
    const got = draws.map(({ share }) => fraction(BigInt(share), BigInt(formula.whole ?? 0)));
    expect(isEqual(got[1] ?? ONE, of(45, 370))).toBe(true);
    expect(isEqual(sumOfFractions(got), ONE)).toBe(true);
    // 45 g of active matter in 1 kg, at 37 %: 121.6216... g
    expect(drawOf(planOf(thinner, formula, { mass: mass(1_000_000_000) }), 'decyl-glucoside').target).toBe(121_621_622);
  });

  it('needs an ingredient whose strength is known', () => {
    const result = readFormula('wash.yaml', WASH, demo);
    expect(result.ok ? '' : printProblems(result.problems)).toContain(
      'phases[1].work[2].active\n    found `4.5 %`, expected an ingredient whose strength the workshop file tells',
    );
  });
});

it('targets of random formulas add up exactly, none is off by a microgram, and scaling up and down returns', () => {
  formulaLoop(5_000, 7);
});

it('a share printed as percent is right to its last digit', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 100_000_000 }), (n) => {
      expect(Number(printShare(of(n, 100_000_000)).replace(' %', ''))).toBe(n / 1_000_000);
    }),
  );
});

it('splits one and the same whatever the common denominator', () => {
  const coarse = splitByShares(mass(1_855_670_103), [250_000, 750_000]);
  expect(splitByShares(mass(1_855_670_103), [750_000, 2_250_000])).toEqual(coarse);
});
