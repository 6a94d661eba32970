import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coverageFactor, effectiveFreedom } from '../../src/accept/coverage.ts';

const WELL = Number.POSITIVE_INFINITY;

/** Share of Student's t within +-k, by Simpson's rule over its density with the substitution t = tan(x) * sqrt(v). */
function shareWithin(k: number, freedom: number): number {
  const density = (x: number) => Math.cos(x) ** (freedom - 1);
  const area = (to: number, steps = 2000) => {
    let sum = density(0) + density(to);
    for (let step = 1; step < steps; step++) sum += (step % 2 === 1 ? 4 : 2) * density((to * step) / steps);
    return (sum * to) / steps / 3;
  };
  return area(Math.atan(k / Math.sqrt(freedom))) / area(Math.PI / 2);
}

describe('the effective degrees of freedom (JCGM 100, G.4.1)', () => {
  it('of one term are its own, of equal terms their sum, and a bound has none to lose', () => {
    expect(effectiveFreedom([{ u: 3, freedom: 4 }])).toBeCloseTo(4, 12);
    expect(
      effectiveFreedom([
        { u: 2, freedom: 4 },
        { u: 2, freedom: 4 },
      ]),
    ).toBeCloseTo(8, 12);
    expect(
      effectiveFreedom([
        { u: 1, freedom: WELL },
        { u: 1, freedom: 4 },
      ]),
    ).toBe(16);
    expect(effectiveFreedom([{ u: 5, freedom: WELL }])).toBe(WELL);
    expect(effectiveFreedom([{ u: 0, freedom: 4 }])).toBe(WELL);
  });

  it('the worked end-gauge example of JCGM 100, H.1.6 (from memory): u_c = 32 nm, 16 degrees of freedom', () => {
    const terms = [
      { u: 25, freedom: 18 },
      { u: 9.7, freedom: 25.6 },
      { u: 2.9, freedom: 50 },
      { u: 16.6, freedom: 2 },
    ];
    expect(Math.hypot(...terms.map(({ u }) => u))).toBeCloseTo(32, 0);
    expect(Math.floor(effectiveFreedom(terms))).toBe(16);
  });
});

describe('the coverage factor (JCGM 100, table G.2)', () => {
  it('leaves 95.45 % of the t-distribution within, to the rounding of the table', () => {
    for (const freedom of [1, 2, 3, 4, 4.5, 5, 6, 7, 8, 9.3, 10, 12, 15, 20, 23, 30, 40, 50, 70, 100, 300]) {
      expect(shareWithin(coverageFactor(freedom), freedom)).toBeCloseTo(0.9545, 2.7);
    }
  });

  it('is interpolated between two entries (G.4.2), and is 2 for what is well known', () => {
    expect(coverageFactor(4.9)).toBe(2.67);
    expect(coverageFactor(0.3)).toBe(13.97);
    expect(coverageFactor(399)).toBe(2.01);
    expect(coverageFactor(WELL)).toBe(2);
  });

  it('never rises with better knowledge', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (v, by) => {
          expect(coverageFactor(v + by)).toBeLessThanOrEqual(coverageFactor(v));
        },
      ),
    );
  });
});
