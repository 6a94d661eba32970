/** The whole vessel against the sum of its draws. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { judgeSum, type SumPart, sumAllowance } from '../../src/accept/sumCheck.ts';
import { mass } from '../../src/mass/mass.ts';
import { g } from '../weighing/samplePlan.ts';

const part = (draw: string, grams: number, u = 0.16): SumPart => ({ draw, amount: g(grams), uncertainty: g(u) });
// Phase E of a bar: four cups (invented amounts).
const cups = [part('E1', 18.56, 0.014), part('E2', 11.13, 0.014), part('E3', 3.71, 0.014), part('E4', 7.42, 0.014)];
const sum = (found: number, elsewhere: readonly SumPart[] = [], inIt: readonly SumPart[] = cups) =>
  judgeSum({ expected: g(1000), found: g(found), allowed: g(0.5), inIt, elsewhere });

describe('the sum of a vessel', () => {
  it.each([1000, 1000.5, 999.5])('is right at %s g: within what is allowed either way', (found) => {
    expect(sum(found)).toMatchObject({ isRight: true, suspects: [] });
  });

  it.each([
    [988.9, 'missing', ['E2']],
    [992.6, 'missing', ['E4']],
    [1003.7, 'twice', ['E3']],
    [977.7, 'missing', ['E1', 'E3']],
  ] as const)('at %s g is off, and names %s %s', (found, what, draws) => {
    const judged = sum(found);
    expect(judged.isRight).toBe(false);
    expect(judged.suspects[0]).toEqual({ what, draws });
  });

  it('names what belongs in another vessel when that is as much as there is too much', () => {
    expect(sum(1055.7, [part('B2', 55.67)]).suspects).toEqual([{ what: 'from-elsewhere', draws: ['B2'] }]);
  });

  it('off by what fits no draw: says so by naming none', () => {
    expect(sum(994.7)).toMatchObject({ isRight: false, suspects: [] });
  });

  it('names the nearest first where several weigh about as much', () => {
    const near = [part('C1', 74.2), part('C2', 74.6)];
    expect(sum(925.4, [], near).suspects.map(({ draws }) => draws[0])).toEqual(['C2', 'C1']);
  });

  it('whatever single draw is left out, it is among those that are named', () => {
    const amounts = fc.array(fc.integer({ min: 2_000_000, max: 900_000_000 }), { minLength: 1, maxLength: 8 });
    fc.assert(
      fc.property(amounts, fc.nat(), fc.integer({ min: -400_000, max: 400_000 }), (masses, pick, error) => {
        const inIt = masses.map((amount, index) => ({ draw: `A${index}`, amount: mass(amount), uncertainty: g(0.16) }));
        const gone = inIt[pick % inIt.length];
        if (!gone) return;
        const found = mass(2_000_000_000 - gone.amount + error);
        const judged = judgeSum({ expected: mass(2_000_000_000), found, allowed: g(0.5), inIt, elsewhere: [] });
        const fits = inIt.filter(({ amount }) => Math.abs(amount - gone.amount) < 700_000).length;
        if (fits <= 3) expect(judged.suspects.flatMap(({ draws }) => draws)).toContain(gone.draw);
        expect(judged.isRight).toBe(false);
      }),
    );
  });
});

describe('what it may be off', () => {
  it('is the root of the squares of the reading and of what came in off the pan (JCGM 100, 5.1.2)', () => {
    expect(sumAllowance(g(0.3), [g(0.4)], g(0), g(0))).toBe(g(0.5));
  });
  it('and three in a thousand of what was emptied into it (common practice, no source)', () => {
    expect(sumAllowance(g(0.3), [g(0.4)], g(1000), g(0))).toBe(g(3.5));
  });
  it('never less than a vessel may differ from itself', () => {
    expect(sumAllowance(g(0.01), [], g(0), g(0.5))).toBe(g(0.5));
  });
});
