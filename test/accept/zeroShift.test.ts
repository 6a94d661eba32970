/** When a moved zero makes an accepted draw doubtful, which way, and what that does to its uncertainty. */
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { type Budget, weighingBudget } from '../../src/accept/budget.ts';
import { doubtFrom, isDoubtedBy, withDoubt } from '../../src/accept/zeroShift.ts';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';

const g = (grams: number): Mass => mass(Math.round(grams * 1_000_000));
/** A draw on a bench scale (d 0.1 g, s 0.05 g): U is 0.163 g by hand, `2 sqrt(2 (0.1^2 / 12 + 0.05^2))`. */
const draw = { uncertainty: g(0.163), stood: g(300) };

describe('a draw is doubtful', () => {
  it.each([
    ['by nothing', 0, false],
    ['not by one interval of drift, which its uncertainty covers', 0.1, false],
    ['not by one interval the other way', -0.1, false],
    ['by two intervals', 0.2, true],
    ['by slow additions that were hidden', -2.5, true],
    ['not by the zero key under the vessel, which moves the zero by all that stood there', -300, false],
    ['nor by a key while most of it stood there', -150, false],
  ])('%s', (_, grams, doubted) => {
    expect(isDoubtedBy(g(grams), draw)).toBe(doubted);
  });
});

test.each([
  ['add', -0.3, 0.3],
  ['add', 0.3, -0.3],
  ['cup', -0.3, 0.3],
  ['subtract', -0.3, -0.3],
  ['subtract', 0.3, 0.3],
] as const)('%s, the empty pan shows %d g otherwise: truly up to %d g more', (way, shift, more) => {
  expect(doubtFrom(way, g(shift))).toBe(g(more));
});

test.each(['add', 'subtract'] as const)(
  '%s: the truth lies between the written weight and that with the doubt',
  (way) => {
    fc.assert(
      fc.property(fc.integer({ min: -500, max: 500 }), fc.double({ min: 0, max: 1, noNaN: true }), (d, part) => {
        const shift = mass(d * 1000);
        // The zero moves by some part of the shift between the two readings of the draw.
        const [before, after] = way === 'add' ? [300_000, 400_000] : [400_000, 300_000];
        const shown = after + shift * part;
        const written = way === 'add' ? shown - before : before - shown;
        const truly = way === 'add' ? after - before : before - after;
        const [low, high] = [0, doubtFrom(way, shift)].sort((a, b) => a - b);
        expect(truly - written).toBeGreaterThanOrEqual((low ?? 0) - 1e-6);
        expect(truly - written).toBeLessThanOrEqual((high ?? 0) + 1e-6);
      }),
    );
  },
);

describe('the uncertainty with a doubt', () => {
  const known = weighingBudget({
    net: g(100),
    d: g(0.1),
    stated: g(0.05),
    measured: null,
    drift: ZERO,
    slope: null,
  });

  it('by hand: 0.3 g / sqrt(3) is a standard uncertainty of 0.1732 g; U is 2 sqrt(0.0816^2 + 0.1732^2) = 0.3830 g', () => {
    const more = withDoubt(known, g(-0.3));
    expect(more.budget).toEqual({ ...known.budget, drift: 173_206 });
    expect(more.uncertainty / 1e6).toBeCloseTo(0.383, 4);
  });

  it('covers the whole doubt, never shrinks, and says nothing new of a drift that was counted already', () => {
    const masses = fc.integer({ min: 0, max: 10_000_000 }).map(mass);
    const budgets: fc.Arbitrary<Budget> = fc.record({
      rounding: masses,
      repeatability: masses,
      drift: masses,
      check: masses,
    });
    fc.assert(
      fc.property(budgets, masses, (budget, doubt) => {
        const whole = Math.hypot(budget.rounding, budget.repeatability, budget.drift, budget.check);
        const before = mass(Math.ceil(2 * whole));
        const more = withDoubt({ budget, uncertainty: before, coverage: 2 }, doubt);
        expect(more.uncertainty).toBeGreaterThanOrEqual(before);
        expect(more.uncertainty).toBeGreaterThanOrEqual(doubt);
        if (doubt / Math.sqrt(3) <= budget.drift) expect(more).toEqual({ budget, uncertainty: before, coverage: 2 });
      }),
    );
  });
});
