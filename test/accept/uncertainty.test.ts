import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { guardBand, netUncertainty, roundingUncertainty, smallestWeight } from '../../src/accept/uncertainty.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { leastWeight } from '../../src/plan/feasible.ts';
import { stockSolution } from '../../src/plan/stockSolution.ts';
import type { Scale } from '../../src/workshop/model.ts';

const MG = 1_000;
const G = 1_000_000;

function bare(d: number, repeatability: number | null = null) {
  return { d: mass(d), repeatability: repeatability === null ? null : mass(repeatability) };
}

describe('the smallest weight (USP general chapters 41 and 1251)', () => {
  // 2 s / m <= 0.10 %, with s of less than 0.41 d taken as 0.41 d: never below 820 d.
  it.each([
    [0.1 * MG, 82 * MG, 8.2 * MG],
    [MG, 0.82 * G, 82 * MG],
    [10 * MG, 8_200_000, 0.82 * G],
    [0.1 * G, 82 * G, 8_200_000],
    [G, 820 * G, 82 * G],
  ])('of a scale with d = %d ug is %d ug at 0.10 %% and %d ug at 1 %%', (d, strict, lenient) => {
    expect(smallestWeight(bare(d), 0.001)).toBe(strict);
    expect(smallestWeight(bare(d), 0.01)).toBe(lenient);
    expect(strict).toBe(820 * d);
  });

  it('is 2000 times the repeatability at 0.10 %, once that is above 0.41 d', () => {
    expect(smallestWeight(bare(10 * MG, 6 * MG), 0.001)).toBe(12 * G);
    expect(smallestWeight(bare(10 * MG, 4.1 * MG), 0.001)).toBe(8_200_000);
    expect(smallestWeight(bare(10 * MG, 1), 0.001)).toBe(8_200_000);
  });

  it('is 820 d at 0.10 % for every interval, without dust of floating point', () => {
    for (const step of [1, 2, 5]) {
      for (let power = 2; power <= 6; power++) {
        const d = step * 10 ** power;
        expect(smallestWeight(bare(d), 0.001)).toBe(820 * d);
      }
    }
  });

  it.each([0, -0.01, Number.NaN])('of a tolerance of %d does not exist', (tolerance) => {
    expect(() => smallestWeight(bare(MG), tolerance)).toThrow(RangeError);
  });

  // Pharmacy practice derives the least weighable quantity as sensitivity / error (university pharmacy laboratory
  // notes): another rule, 1 d where the rule above has 0.82 d. The plan asks for more than either, as it also wants
  // the guard band and one interval to fit.
  it.each([
    [0.01, 0.05, 0.2],
    [0.01, 0.02, 0.5],
    [0.1, 0.01, 10],
  ])('beside the pharmacy rule: d = %d g at %d gives %d g there', (d, error, least) => {
    expect(d / error).toBeCloseTo(least, 12);
    const scale: Scale = {
      id: 'any',
      capacity: mass(500 * G),
      d: mass(d * G),
      repeatability: undefined,
      port: undefined,
      profile: undefined,
      dwellMs: 1500,
      sleepsAfterMs: undefined,
    };
    expect(smallestWeight(scale, error)).toBe(Math.round(0.82 * least * G));
    expect(leastWeight(scale, error)).toBeGreaterThanOrEqual(least * G);
  });
});

describe('the uncertainty of a weighing', () => {
  it('of one digital reading is d / sqrt 12 = 0.29 d (NISTIR 6969, SOP 29; JCGM 100, F.2.2.1)', () => {
    expect(roundingUncertainty(mass(100 * MG)) / (100 * MG)).toBeCloseTo(0.288675, 6);
    // EURAMET cg-18 (formula from memory): d / (2 sqrt 3).
    expect(roundingUncertainty(mass(10 * MG))).toBeCloseTo((10 * MG) / (2 * Math.sqrt(3)), 9);
  });

  it('of a net weight is d / sqrt 6 = 0.408248 d, twice that expanded, rounded up to a microgram', () => {
    // Two readings, zero and load. It is where the 0.41 d of the smallest weight comes from.
    for (const d of [MG, 10 * MG, 100 * MG, G]) {
      const exact = (2 * d) / Math.sqrt(6);
      expect(netUncertainty(bare(d))).toBe(Math.ceil(exact));
      expect(exact / 2 / d).toBeCloseTo(0.408248, 6);
    }
  });

  it('of a weighing by difference: the worked example A2 of Eurachem / CITAC CG 4 (QUAM:2012)', () => {
    // There a rectangular error of +-0.15 mg counts once for tare and once for gross: u = 0.122474 mg. Rounding to
    // d = 0.30 mg is the same distribution; expanded with k = 2, rounded up to a whole microgram.
    expect(netUncertainty(bare(300))).toBe(Math.ceil(2 * 122.474));
  });

  it('takes in the repeatability of both readings, in squares', () => {
    // The demo's fine scale: 2 * sqrt(2 * ((10 / sqrt 12)^2 + 4^2)) mg = 13.95 mg; its bench scale: 163.3 mg.
    expect(netUncertainty(bare(10 * MG, 4 * MG))).toBe(13_953);
    expect(netUncertainty(bare(100 * MG, 50 * MG))).toBe(163_300);
    expect(netUncertainty(bare(MG, 1000 * MG)) / (2000 * Math.SQRT2 * MG)).toBeCloseTo(1, 5);
  });
});

/** Chance that a normal error is above z standard deviations; Abramowitz and Stegun 26.2.17, good to 7.5e-8. */
function above(z: number): number {
  const t = 1 / (1 + 0.2316419 * z);
  const [a, b, c, d, e] = [0.31938153, -0.356563782, 1.781477937, -1.821255978, 1.330274429];
  return (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) * t * (a + t * (b + t * (c + t * (d + t * e))));
}

describe('the guard band (JCGM 106; ILAC-G8)', () => {
  it.each([
    [0, 0.5],
    [0.83, 0.0485],
    [1, 0.02275],
    [1.5, 0.00135],
  ])('of %d times U leaves at most a chance of %d to accept what is outside', (r, chance) => {
    // U = 2 u, value exactly on the acceptance limit.
    expect(above(2 * r)).toBeCloseTo(chance, 4);
  });

  it('is judged by the same normal curve as the Zener diode of JCGM 106: 0.919 (inputs from memory)', () => {
    expect(1 - above((5.47 - 5.4) / 0.05)).toBeCloseTo(0.919, 3);
  });

  it('is the whole of U once U is more than a third of the half-band: at most 2.3 % wrongly accepted', () => {
    expect(guardBand(mass(300), mass(100))).toBe(0);
    expect(guardBand(mass(299), mass(100))).toBe(100);
    expect(guardBand(mass(50), mass(100))).toBe(100);
    const u = 50;
    expect(above(guardBand(mass(299), mass(2 * u)) / u)).toBeLessThan(0.0228);
  });

  it('is nothing or U, never more', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: G }), fc.integer({ min: 0, max: G }), (half, uncertainty) => {
        const guard = guardBand(mass(half), mass(uncertainty));
        expect(guard === 0 || guard === uncertainty).toBe(true);
        expect(guard === 0).toBe(uncertainty * 3 <= half || uncertainty === 0);
      }),
    );
  });
});

describe('a stock solution', () => {
  function stock(grams: number, smallest: number): [string, Mass] | undefined {
    const found = stockSolution(mass(Math.round(grams * G)), mass(Math.round(smallest * G)));
    return found && [found.strength, found.needed];
  }

  it('of 1 % holds 0.022 g of dye in 2.2 g (1.00 g of dye and 99.00 g of liquid; dye makers notes)', () => {
    expect(stock(0.022, 0.6)).toEqual(['1 %', 2_200_000]);
  });

  it('holds wanted / strength: 0.050 g are 5.0 g of 1 %, and twice as much as of 2 %', () => {
    // From a 2.0 % stock it is 2.5 g (worked out from the rule).
    expect(stock(0.05, 2)).toEqual(['1 %', 2 * 2.5 * G]);
    expect(stock(0.05, 1.2)).toEqual(['2 %', 2.5 * G]);
  });

  it('is no stronger than can be weighed with ease, and none helps with next to nothing', () => {
    expect(stock(1, 0.5)).toEqual(['10 %', 10 * G]);
    expect(stock(0.001, 0.5)).toEqual(['0.1 %', G]);
    expect(stock(0.000_001, 0.5)).toBeUndefined();
  });
});
