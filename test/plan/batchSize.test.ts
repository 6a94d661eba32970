import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readFact } from '../../src/facts/readFact.ts';
import { mass } from '../../src/mass/mass.ts';
import { barsFrom, massForBars, sizeBatch } from '../../src/plan/batchSize.ts';
import { costInWords, plannedCost } from '../../src/stock/cost.ts';
import { demo, demoFormula, planOf } from './fixtures.ts';

const G = 1_000_000;

describe('the mass of a batch', () => {
  it('divides by what remains; adding the loss on top would leave the last bar short', () => {
    const weighed = massForBars(24, mass(75 * G), 30_000);
    expect(weighed).toBe(1_855_670_103);
    expect(barsFrom(weighed, mass(75 * G), 30_000, 'up')).toBe(24);
    expect(barsFrom(mass(1854 * G), mass(75 * G), 30_000, 'down')).toBe(23);
  });

  it('agrees with a decimal library to the nearest microgram, ties to even', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 10_000 }),
        fc.integer({ min: 1, max: 1_000 * G }),
        fc.integer({ min: 0, max: 500_000 }),
        (bars, bar, loss) => {
          const exact = new Decimal(bars).mul(bar).mul(1e6).div(new Decimal(1e6).sub(loss));
          const rounded = exact.toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN);
          expect(massForBars(bars, mass(bar), loss)).toBe(rounded.toNumber());
        },
      ),
    );
  });

  it('without a wish is the usual one; a mass says how many whole bars it gives', () => {
    expect(sizeBatch(demoFormula, undefined)).toEqual({ mass: 1_855_670_103, bars: 24 });
    expect(sizeBatch(demoFormula, { mass: mass(1_855_670_102) })).toEqual({ mass: 1_855_670_102, bars: 23 });
    // 24 bars take 1855.6701030927... g: rounded to the microgram it is still the mass of 24 bars.
    expect(sizeBatch(demoFormula, { mass: mass(1_855_670_103) })).toEqual({ mass: 1_855_670_103, bars: 24 });
    expect(sizeBatch({ ...demoFormula, bar: undefined, bars: undefined }, { mass: mass(G) })).toEqual({
      mass: G,
      bars: null,
    });
  });

  it('of less than one bar has no bars, and its plan is one that the log can keep', () => {
    expect(sizeBatch(demoFormula, { mass: mass(77_319_588) })).toEqual({ mass: 77_319_588, bars: 1 });
    expect(sizeBatch(demoFormula, { mass: mass(77_319_587) })).toEqual({ mass: 77_319_587, bars: null });
    const formula = { ...demoFormula, bar: mass(2000 * G) };
    const plan = planOf(demo, formula, { mass: mass(1855 * G) });
    const fact = { batch: 'b', seq: 1, at: '2026-11-25T10:00:00.000+00:00', by: 'Ann', kind: 'batch-started', plan };
    expect(readFact(JSON.stringify(fact))).toMatchObject({ ok: true });
    expect(costInWords(plannedCost(plan))).toMatch(/^Material 24\.\d\d EUR, 13\.\d\d EUR a kilogram$/);
  });

  it.each([
    [{ bars: 0 }, demoFormula],
    [{ bars: 1.5 }, demoFormula],
    [{ bars: 3 }, { ...demoFormula, bar: undefined }],
    [{ mass: mass(0) }, demoFormula],
    [undefined, { ...demoFormula, bars: undefined, batch: undefined }],
  ])('that makes no sense is said in a sentence: %o', (size, formula) => {
    expect(sizeBatch(formula, size)).toMatchObject({ why: expect.stringMatching(/^The .*\.$/) });
  });
});
