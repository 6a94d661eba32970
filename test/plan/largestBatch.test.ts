import { describe, expect, it } from 'vitest';
import type { Formula } from '../../src/formula/model.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { type BatchSize, barsFrom, sizeBatch } from '../../src/plan/batchSize.ts';
import { fillVessel, largestFromStock, largestThatWorks, stockBound } from '../../src/plan/largestBatch.ts';
import { makePlan, refusedAt } from '../../src/plan/plan.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { BATCH_DAY, demo, demoFormula, fixture, formulaFrom, workshopFrom } from './fixtures.ts';

const glazeWorkshop = workshopFrom(fixture('workshops/glaze/workshop.yaml'));
const glaze = formulaFrom(fixture('workshops/glaze/formulas/harbour-fog.yaml'), glazeWorkshop);

/** A workshop whose lots hold other amounts. */
function stocked(workshop: Workshop, onHand: (was: Mass) => Mass): Workshop {
  const ingredients = [...workshop.ingredients].map(([id, each]) => {
    return [id, { ...each, lots: each.lots.map((lot) => ({ ...lot, onHand: onHand(lot.onHand) })) }] as const;
  });
  return { ...workshop, ingredients: new Map(ingredients) };
}

/** Whether the planner takes a batch of a size. */
function planned(workshop: Workshop, formula: Formula, size: BatchSize): boolean {
  const sized = sizeBatch(formula, size);
  return 'mass' in sized && refusedAt(workshop, formula, sized.mass, BATCH_DAY).length === 0;
}

/** Vessels without end, so that the stock alone is in the way. */
function roomy(workshop: Workshop): Workshop {
  const vessels = [...workshop.vessels].map(([id, each]) => {
    return [id, each.usableMl === undefined ? each : { ...each, usableMl: 1_000_000 }] as const;
  });
  return { ...workshop, vessels: new Map(vessels) };
}

describe('the largest batch from stock', () => {
  it('is what trying every number of bars finds, on random stocks', () => {
    const random = seededRandom(11);
    for (let run = 0; run < 8; run++) {
      const shop = stocked(demo, (was) => mass(Math.floor(was * (0.3 + random.next()))));
      const works = (size: BatchSize) => planned(shop, demoFormula, size);
      let most: number | undefined;
      for (let bars = 1; bars <= 80; bars++) if (works({ bars })) most = bars;
      const found = largestFromStock(shop, demoFormula, BATCH_DAY, works);
      expect(found?.size, `run ${run}`).toEqual(most === undefined ? undefined : { bars: most });
    }
  });

  it('to the microgram where there are no bars: it can be planned, and one microgram more can not', () => {
    const random = seededRandom(12);
    for (let run = 0; run < 5; run++) {
      const shop = roomy(stocked(glazeWorkshop, (was) => mass(Math.floor(was * (0.05 + random.next() / 3)))));
      const works = (size: BatchSize) => planned(shop, glaze, size);
      const found = largestFromStock(shop, glaze, BATCH_DAY, works);
      if (found === undefined) throw new Error('a glaze can be planned');
      expect(works(found.size)).toBe(true);
      expect(works(found.next)).toBe(false);
      // 34 of 106.5 parts: where nepheline sets the end, its jar is emptied to the microgram.
      expect(stockBound(shop, glaze, BATCH_DAY)).toBeGreaterThanOrEqual('mass' in found.size ? found.size.mass : 0);
    }
  });

  it('never passes the bound of the stock, and lots out of date or blocked do not count', () => {
    const bound = stockBound(demo, demoFormula, BATCH_DAY);
    const bars = barsFrom(bound, mass(75_000_000), demoFormula.lossPpm, 'down');
    expect(planned(roomy(demo), demoFormula, { bars: bars + 1 })).toBe(false);
    expect(stockBound(demo, demoFormula, '2099-01-01')).toBeLessThan(1_000);
  });

  it('of nothing is nothing', () => {
    const empty = stocked(demo, () => mass(0));
    expect(
      largestFromStock(empty, demoFormula, BATCH_DAY, (size) => planned(empty, demoFormula, size)),
    ).toBeUndefined();
  });

  it('the search finds the end of any stretch that reaches down far enough', () => {
    const random = seededRandom(13);
    for (let run = 0; run < 2_000; run++) {
      const most = 1 + Math.floor(random.next() * 1e12);
      const end = Math.max(1, Math.floor(most * (0.05 + 0.95 * random.next())));
      const begin = Math.floor(end * 0.9);
      expect(largestThatWorks((n) => n >= begin && n <= end, most)).toBe(end);
    }
  });
});

describe('a batch that fills a vessel', () => {
  it('of a glaze is the loose volume of its powders, each at the top of its band', () => {
    // Parts, bulk density and band of each powder; the tub has room for 4.2 l.
    const powders = [
      [34, 0.9, 0.01],
      [22, 0.8, 0.01],
      [16, 1.1, 0.01],
      [14, 0.7, 0.01],
      [14, 0.4, 0.01],
      [2, 0.7, 0.02],
      [3.5, 1.3, 0.02],
      [0.6, 0.8, 0.02],
      [0.4, 0.9, 0.02],
    ] as const;
    const mlPerPart = powders.reduce((sum, [parts, density, band]) => sum + (parts * (1 + band)) / density, 0);
    const expected = (4_200 / mlPerPart) * 106.5 * 1_000_000;
    const found = fillVessel(glazeWorkshop, glaze, 'dry-tub');
    if (!found.ok || !('mass' in found.size)) throw new Error('a mass is expected');
    expect(Math.abs(found.size.mass - expected)).toBeLessThan(100);
    expect(makePlan(glazeWorkshop, glaze, found.size, BATCH_DAY).ok).toBe(true);
    expect(makePlan(glazeWorkshop, glaze, { mass: mass(found.size.mass + 1_000) }, BATCH_DAY).ok).toBe(false);
  });

  it('in bars: so many fit, and one more is too much', () => {
    const found = fillVessel(demo, demoFormula, 'liquids-beaker');
    if (!found.ok || !('bars' in found.size)) throw new Error('bars are expected');
    const overflows = (bars: number) => {
      const result = makePlan(demo, demoFormula, { bars }, BATCH_DAY);
      return !result.ok && result.refusals.some(({ why }) => /Liquids beaker, glass holds/.test(why));
    };
    expect(overflows(found.size.bars)).toBe(false);
    expect(overflows(found.size.bars + 1)).toBe(true);
  });

  it('with a vessel that has no part in the work, takes all of the batch for it', () => {
    expect(fillVessel(demo, demoFormula, 'dosing-cup')).toMatchObject({
      ok: false,
      why: expect.stringContaining('too small'),
    });
    // Loose, the formula takes some 2.26 ml a gram, and 77.32 g are weighed for a bar: 175 ml.
    const dish = demo.vessels.get('petal-dish');
    if (!dish) throw new Error('the demo has a petal dish');
    const shop = { ...demo, vessels: new Map(demo.vessels).set('bucket', { ...dish, id: 'bucket', usableMl: 1_000 }) };
    expect(fillVessel(shop, demoFormula, 'bucket')).toMatchObject({ ok: true, inIt: false, size: { bars: 5 } });
  });

  it.each([
    ['dye-jar', /does not say what .* holds/],
    ['bucket', /no vessel of that name/],
  ])('%s is told', (vessel, words) => {
    const found = fillVessel(demo, demoFormula, vessel);
    expect(found.ok ? '' : found.why).toMatch(words);
  });

  it('needs every density', () => {
    const glycerin = demo.ingredients.get('glycerin');
    if (!glycerin) throw new Error('the demo has glycerin');
    const shop = {
      ...demo,
      ingredients: new Map(demo.ingredients).set('glycerin', { ...glycerin, density: undefined }),
    };
    expect(fillVessel(shop, demoFormula, 'mixing-bowl')).toMatchObject({
      why: expect.stringContaining('the density of Glycerin'),
    });
  });
});
