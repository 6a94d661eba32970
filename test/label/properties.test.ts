/** What holds for the list of any mix. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { allergensToName, THRESHOLD } from '../../src/label/allergens.ts';
import { ingredientList } from '../../src/label/ingredientList.ts';
import { keyOf, nameIn } from '../../src/label/names.ts';
import { takeApart } from '../../src/label/takeApart.ts';
import { mass } from '../../src/mass/mass.ts';
import { splitByShares } from '../../src/mass/split.ts';
import type { Ingredient, Part } from '../../src/workshop/model.ts';
import { ingredient, material, workshopOf } from './mixes.ts';

const POOL = ['Aqua', 'Water', 'Glycerin', 'Talc', 'TALC', 'CI 42090', 'CI 17200', 'Parfum', 'Linalool', 'Zinc Oxide'];
const ALLERGENS = ['Linalool', 'Limonene', 'Citral'];

/** Shares that add up to the whole, none of them zero. */
function shares(weights: readonly number[]): number[] {
  return splitByShares(mass(1_000_000 - weights.length), weights).map((share) => share + 1);
}

const part = fc.record({ name: fc.constantFrom(...POOL), weight: fc.integer({ min: 1, max: 1000 }), inner: fc.nat(9) });

/** Ingredients, each made of substances and of ingredients before it, with an amount of each in micrograms. */
const anyMix = fc
  .array(
    fc.record({
      parts: fc.array(part, { maxLength: 5 }),
      pure: fc.constantFrom(...POOL),
      allergens: fc.uniqueArray(fc.constantFrom(...ALLERGENS), { maxLength: 3 }),
      allergenPpm: fc.integer({ min: 1, max: 300_000 }),
      amount: fc.oneof(fc.integer({ min: 1, max: 100 }), fc.integer({ min: 1, max: 2_000_000_000 })),
    }),
    { minLength: 1, maxLength: 10 },
  )
  .map((rows) => {
    const ingredients: Ingredient[] = rows.map(({ parts, pure, allergens, allergenPpm }, index) => {
      const ppm = parts.length === 0 ? [] : shares(parts.map(({ weight }) => weight));
      const madeOf = parts.map(({ name, inner }, n): Part => {
        const each = ppm[n] ?? 0;
        // Only ever of the one before, and not deeper than the workshop file may be.
        return inner === 0 && index % 4 !== 0 ? { of: `i${index - 1}`, ppm: each } : { inci: name, ppm: each };
      });
      const made = parts.length === 0 ? {} : { madeOf };
      return ingredient(`i${index}`, pure, {
        ...made,
        allergens: allergens.map((inci) => ({ inci, ppm: allergenPpm })),
      });
    });
    const workshop = workshopOf(ingredients);
    const materials = ingredients.map((each, index) => material(each, rows[index]?.amount ?? 1));
    return { workshop, materials, mix: takeApart(materials, workshop) };
  });

describe.each(['EU', 'US'] as const)('any list, %s', (place) => {
  it('holds each name of the mix once, and no other', () => {
    fc.assert(
      fc.property(anyMix, ({ mix }) => {
        const listed = ingredientList(place, mix, []).map(({ name }) => keyOf(name));
        const wanted = new Set(mix.substances.map((each) => keyOf(nameIn(place, each))));
        expect([...listed].sort()).toEqual([...wanted].sort());
      }),
    );
  });

  it('falls in weight within each group, the groups in order and colourants last', () => {
    fc.assert(
      fc.property(anyMix, ({ mix }) => {
        const rows = ingredientList(place, mix, allergensToName(mix, 'leave-on', 0));
        const order = ['main', 'small', 'allergen', 'colour'];
        rows.forEach(({ group, ppm }, index) => {
          const before = rows[index - 1];
          if (!before) return;
          expect(order.indexOf(group)).toBeGreaterThanOrEqual(order.indexOf(before.group));
          // Shares are rounded by largest remainder: what weighs less may show one step more.
          if (group === before.group) expect(ppm).toBeLessThanOrEqual(before.ppm + 1);
        });
        for (const { group, ppm, name } of rows) {
          if (/^CI /.test(name)) expect(group).toBe('colour');
          if (group === 'main') expect(ppm).toBeGreaterThanOrEqual(9_999);
          if (group === 'small' || group === 'allergen') expect(ppm).toBeLessThanOrEqual(10_001);
        }
      }),
    );
  });

  it('adds up to exactly 100 %, and loses nothing of the materials', () => {
    fc.assert(
      fc.property(anyMix, ({ mix, materials }) => {
        const rows = ingredientList(place, mix, allergensToName(mix, 'rinse-off', 0));
        expect(rows.reduce((sum, { counted, ppm }) => sum + (counted ? ppm : 0), 0)).toBe(1_000_000);
        const grams = materials.reduce((sum, { amount }) => sum + BigInt(amount), 0n);
        expect(mix.total).toBe(grams * 10n ** 36n); // to the last unit
        expect(mix.unknown).toEqual([]);
      }),
    );
  });

  it('is the same in whatever order the materials were weighed, and at whatever batch size', () => {
    fc.assert(
      fc.property(anyMix, fc.integer({ min: 2, max: 1000 }), ({ mix, materials, workshop }, times) => {
        const shown = (of: typeof mix) =>
          ingredientList(place, of, allergensToName(of, 'rinse-off', 0)).map(({ name, group }) => [keyOf(name), group]);
        const larger = materials.map((each) => ({ ...each, amount: each.amount * times }));
        expect(shown(takeApart([...materials].reverse(), workshop))).toEqual(shown(mix));
        expect(shown(takeApart(larger, workshop))).toEqual(shown(mix));
      }),
    );
  });
});

it('an allergen is named just where its share of the finished product, in floating point, is clearly over', () => {
  fc.assert(
    fc.property(anyMix, fc.constantFrom('rinse-off', 'leave-on'), fc.nat(500_000), ({ mix }, use, drying) => {
      const named = new Set(allergensToName(mix, use, drying).map(({ inci }) => inci));
      for (const inci of new Set(mix.allergens.map((each) => each.inci))) {
        const all = [...mix.allergens, ...mix.substances].filter((each) => each.inci === inci);
        const share = all.reduce((sum, { amount }) => sum + Number(amount), 0) / Number(mix.total) / (1 - drying / 1e6);
        const limit = THRESHOLD[use] / 1e6;
        if (share > limit * 1.000001) expect(named).toContain(inci);
        if (share < limit * 0.999999) expect(named).not.toContain(inci);
      }
    }),
  );
});
