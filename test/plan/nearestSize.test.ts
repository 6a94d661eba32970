import { describe, expect, it } from 'vitest';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { readMassWithUnit } from '../../src/mass/text.ts';
import { edgeNear, stepAt } from '../../src/plan/nearestSize.ts';
import { makePlan, refusedAt } from '../../src/plan/plan.ts';
import { BATCH_DAY, demo, demoFormula } from './fixtures.ts';
import { randomShop } from './randomShop.ts';

describe('the size at which something begins to work', () => {
  it('is found from wherever it is looked for; its neighbour does not work', () => {
    for (let edge = 1; edge <= 40; edge++) {
      for (let start = 1; start <= 40; start++) {
        const least = edgeNear((at) => at >= edge, 'least', start, 1, 60);
        expect(least).toBe(edge === 1 ? undefined : edge); // with 1 there is no neighbour to show it
        expect(edgeNear((at) => at <= edge, 'most', start, 1, 60)).toBe(edge);
      }
    }
    expect(edgeNear(() => false, 'least', 5, 1, 60)).toBeUndefined();
    expect(edgeNear(() => true, 'most', 61, 1, 60)).toBeUndefined();
  });
});

/** Refused at a size, for whatever reason, at this place. */
function isRefused(shop: ReturnType<typeof randomShop>, where: string | null, size: number): boolean {
  if (size <= 0) return true;
  return refusedAt(shop.workshop, shop.formula, mass(size), BATCH_DAY).some((each) => each.where === where);
}

describe('sizes that a refusal names', () => {
  it('work, and one step further on they do not, on random workshops', () => {
    const counts = { least: 0, most: 0 };
    for (let seed = 1; counts.least < 25 || counts.most < 25; seed++) {
      expect(seed).toBeLessThan(400);
      const shop = randomShop(seed, seed % 2 === 0);
      const result = makePlan(shop.workshop, shop.formula, undefined, BATCH_DAY);
      if (result.ok) continue;
      for (const { where, instead } of result.refusals) {
        const found = /^A batch of (at most )?([\d.]+ k?g)/.exec(instead ?? '');
        // Where a vessel overflows, the place where it first does moves with the size.
        if (!found?.[2] || / ml\.$/.test(instead ?? '')) continue;
        const size = readMassWithUnit(found[2]) ?? (0 as Mass);
        const bound = found[1] ? 'most' : 'least';
        expect(isRefused(shop, where, size), `seed ${seed} ${where} ${instead}`).toBe(false);
        const beyond = size + (bound === 'most' ? stepAt(size) : -stepAt(size));
        expect(isRefused(shop, where, beyond), `seed ${seed} ${where} ${instead}`).toBe(true);
        counts[bound] += 1;
      }
    }
  });

  it('for all that is refused together: the largest at which nothing is', () => {
    const result = makePlan(demo, demoFormula, { bars: 40 }, BATCH_DAY);
    expect(result).toMatchObject({ ok: false, nearest: { bound: 'most', mass: 2_119_000_000 } });
    expect(refusedAt(demo, demoFormula, mass(2_119_000_000), BATCH_DAY)).toEqual([]);
    expect(refusedAt(demo, demoFormula, mass(2_120_000_000), BATCH_DAY)).not.toEqual([]);
  });
});
