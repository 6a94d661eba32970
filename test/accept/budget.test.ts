import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { driftBound, usualSeries, type WeighingInput, weighingBudget } from '../../src/accept/budget.ts';
import { combined, expanded, netUncertainty, rectangular } from '../../src/accept/uncertainty.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';

const MG = 1_000;
const G = 1_000_000;

const BARE: WeighingInput = {
  net: mass(100 * G),
  d: mass(100 * MG),
  stated: null,
  measured: null,
  drift: mass(0),
  slope: null,
};

describe('combining uncertainties (JCGM 100)', () => {
  it('worked example A2 of Eurachem / CITAC CG 4 (QUAM:2012): net by difference, then the concentration', () => {
    // Linearity +-0.15 mg, once for tare and once for gross: u = 0.122474 mg; rounded there to 0.13 mg.
    const net = combined(rectangular(0.15), rectangular(0.15));
    expect(net).toBeCloseTo(0.122474, 6);
    // 1000 * 0.3888 * 1.0 / (204.2212 * 18.64) mol/l, relative terms in squares.
    const concentration = (1000 * 0.3888 * 1) / (204.2212 * 18.64);
    expect(concentration).toBeCloseTo(0.102136159706, 11);
    const relative = combined(
      0.0005,
      rectangular(0.0005),
      net / 388.8,
      0.003765 / 204.2212,
      combined(0.03 / Math.sqrt(6), 0.006) / 18.64,
    );
    expect(concentration * relative).toBeCloseTo(0.000100500722, 9);
  });

  it('worked example S2 of EA-4/02, a 10 kg weight: u = 29.3 mg, U = 59 mg (inputs published, results from memory)', () => {
    const u = combined(45 / 2, rectangular(15), 25 / Math.sqrt(3), rectangular(10), rectangular(10));
    expect([rectangular(15), 25 / Math.sqrt(3), rectangular(10)].map((each) => each.toPrecision(3))).toEqual([
      '8.66',
      '14.4',
      '5.77',
    ]);
    expect(u).toBeCloseTo(29.3, 1);
    expect(expanded(u)).toBe(59);
  });
});

describe('the budget of one weighing', () => {
  it('without check and drift is what was planned', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: G }), fc.option(fc.integer({ min: 0, max: G })), (d, s) => {
        const scale = { d: mass(d), repeatability: s === null ? null : mass(s) };
        const { uncertainty } = weighingBudget({ ...BARE, d: scale.d, stated: scale.repeatability });
        expect(uncertainty).toBe(netUncertainty(scale));
      }),
    );
  });

  it('by hand: d = 0.1 g, s = 0.05 g, drift up to 0.1 g, a check of 150 ppm, 800 g', () => {
    // 0.1 / sqrt 6 = 40.825 mg; 50 sqrt 2 = 70.711 mg; 100 / sqrt 3 = 57.735 mg; 120 / sqrt 3 = 69.282 mg.
    const { budget, uncertainty } = weighingBudget({
      ...BARE,
      net: mass(800 * G),
      stated: mass(50 * MG),
      drift: mass(100 * MG),
      slope: { boundPpm: 150 },
    });
    expect(budget).toEqual({ rounding: 40_825, repeatability: 70_711, drift: 57_736, check: 69_283 });
    // Squares in mg^2: 10 000 / 6 + 5 000 + 10 000 / 3 + 4 800 = 14 800; its root is 121.655 mg.
    expect(uncertainty / MG).toBeCloseTo(2 * 121.655, 2);
  });

  it('with the check as a standard uncertainty takes that; the bound is only for older logs', () => {
    const { budget } = weighingBudget({ ...BARE, net: mass(800 * G), slope: { boundPpm: 150, standardPpm: 50 } });
    expect(budget.check).toBe(40 * MG); // 50 ppm of 800 g
  });

  it('by hand: a series of five is all that is known of the scatter (JCGM 100, G.4)', () => {
    // The series' 0.1 g holds 0.1^2 / 6 of rounding: u^2 = 0.1^2 / 6 + 2 * (0.1^2 - 0.1^2 / 6) g^2, u = 0.135401 g.
    // 4 * u^4 / (2 * 0.1^2)^2 = 3.361 degrees of freedom; between 3.31 (3) and 2.87 (4), in 1 / 3.361: 3.121.
    const { uncertainty, coverage } = weighingBudget({ ...BARE, measured: mass(100 * MG), weighings: 5 });
    expect(coverage).toBe(3.13);
    expect(uncertainty / MG).toBeCloseTo(3.13 * 135.401, 2);
  });

  const weighing: fc.Arbitrary<WeighingInput> = fc.record({
    net: fc.integer({ min: -5000 * G, max: 5000 * G }).map(mass),
    d: fc.integer({ min: 1, max: 5 * G }).map(mass),
    stated: fc.option(fc.integer({ min: 0, max: 10 * G }).map(mass)),
    measured: fc.option(fc.integer({ min: 0, max: 10 * G }).map(mass)),
    drift: fc.integer({ min: 0, max: 10 * G }).map(mass),
    slope: fc.option(fc.record({ boundPpm: fc.integer({ min: 0, max: 1_000_000 }) })),
    weighings: fc.option(fc.integer({ min: 2, max: 50 })),
  });

  it('is never below what the rounding alone gives, and its terms add up in squares to its expanded uncertainty', () => {
    fc.assert(
      fc.property(weighing, (input) => {
        const { budget, uncertainty, coverage } = weighingBudget(input);
        expect(coverage).toBeGreaterThanOrEqual(2);
        expect(uncertainty).toBeGreaterThanOrEqual(netUncertainty({ d: input.d, repeatability: null }));
        const again = coverage * combined(budget.rounding, budget.repeatability, budget.drift, budget.check);
        // Each recorded term is rounded up by less than a microgram.
        expect(again).toBeGreaterThan(uncertainty - 1.001);
        expect(again).toBeLessThan(uncertainty + 2 * coverage + 0.001);
      }),
    );
  });

  // With a short series it may: a second cause that is well known lowers the factor (a known trait of the formula).
  it('never falls when any one cause grows, where all are well known', () => {
    const more = (at: Mass | null, by: number): Mass => mass((at ?? 0) + by);
    const wellKnown = weighing.map((input) => ({ ...input, weighings: null }));
    fc.assert(
      fc.property(wellKnown, fc.integer({ min: 0, max: G }), (input, by) => {
        const { uncertainty } = weighingBudget(input);
        const grown: Partial<WeighingInput>[] = [
          { d: more(input.d, by) },
          { stated: more(input.stated, by) },
          { measured: more(input.measured, by) },
          { drift: more(input.drift, by) },
          { slope: { boundPpm: (input.slope?.boundPpm ?? 0) + by } },
          { net: mass(input.net + (input.net < 0 ? -by : by)) },
        ];
        for (const change of grown) {
          expect(weighingBudget({ ...input, ...change }).uncertainty).toBeGreaterThanOrEqual(uncertainty);
        }
      }),
    );
  });
});

it('a series is of ten where nothing else is known of the scatter (USP general chapter 41), else of five', () => {
  expect([usualSeries(null), usualSeries(undefined), usualSeries(mass(50))]).toEqual([10, 10, 5]);
});

describe('the drift of the zero', () => {
  it('a zero that has moved may move as far again; one that was set by a key is no drift', () => {
    const d = mass(100 * MG);
    expect([0, 100, -300, 1000].map((mg) => driftBound(mass(mg * MG), d))).toEqual([0, 100 * MG, 300 * MG, 1000 * MG]);
    expect(driftBound(mass(1100 * MG), d)).toBe(0);
  });
});
