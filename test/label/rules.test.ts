/** The published rules of ingredient order and of fragrance allergens, with their worked examples. */
import { describe, expect, it } from 'vitest';
import { ADDED_2023, isKnownAllergen, LONG_KNOWN, wholeOilName } from '../../src/label/allergenNames.ts';
import { allergensToName } from '../../src/label/allergens.ts';
import { ingredientList, listText } from '../../src/label/ingredientList.ts';
import { isColourIndex } from '../../src/label/takeApart.ts';
import { ingredient, mixOf, names } from './mixes.ts';

// A made-up syndet bar, in hundredths of a percent, in no order.
const bar = (oatProtein = 100) =>
  mixOf([
    [ingredient('ci', 'CI 77891', { madeOf: [{ inci: 'CI 77891', us: 'Titanium Dioxide', ppm: 1_000_000 }] }), 40],
    [ingredient('toc', 'Tocopherol'), 30],
    [ingredient('gly', 'Glycerin'), 450],
    [ingredient('oat', 'Hydrolyzed Oat Protein'), oatProtein],
    [ingredient('sci', 'Sodium Cocoyl Isethionate'), 5200],
    [ingredient('par', 'Parfum'), 120],
    [ingredient('ste', 'Stearic Acid'), 2000 + 100 - oatProtein],
    [ingredient('cet', 'Cetyl Alcohol'), 800],
    [ingredient('wat', 'Aqua'), 1200],
    [ingredient('ben', 'Sodium Benzoate'), 60],
  ]);

describe('ingredient order', () => {
  it('EU: falling weight, less than 1 % in any order after, colourants last (Reg. (EC) 1223/2009, Art. 19(1)(g))', () => {
    const rows = ingredientList('EU', bar().mix, []);
    expect(names(rows, 'main')).toEqual([
      'Sodium Cocoyl Isethionate',
      'Stearic Acid',
      'Aqua',
      'Cetyl Alcohol',
      'Glycerin',
      'Parfum',
      'Hydrolyzed Oat Protein', // exactly 1 % is not less than 1 %
    ]);
    expect(names(rows, 'small')).toEqual(['Sodium Benzoate', 'Tocopherol']);
    expect(names(rows, 'colour')).toEqual(['CI 77891']);
    expect(rows.map(({ group }) => group)).toEqual([...Array(7).fill('main'), 'small', 'small', 'colour']);
  });

  it('US: falling predominance, not exceeding 1 % in any order after, colours last (21 CFR 701.3(a), (f)(2), (f)(3))', () => {
    const rows = ingredientList('US', bar().mix, []);
    expect(names(rows, 'main')).toEqual([
      'Sodium Cocoyl Isethionate',
      'Stearic Acid',
      'Water',
      'Cetyl Alcohol',
      'Glycerin',
      'Fragrance', // 701.3(a)
    ]);
    expect(names(rows, 'small')).toEqual(['Hydrolyzed Oat Protein', 'Sodium Benzoate', 'Tocopherol']); // exactly 1 % may float
    expect(names(rows, 'colour')).toEqual(['Titanium Dioxide']);
  });

  it('the line of 1 % is exact on both sides', () => {
    const group = (place: 'EU' | 'US', amount: number) => {
      const { mix } = mixOf([
        [ingredient('a', 'Aqua'), 1_000_000_000 - amount],
        [ingredient('b', 'Hydrolyzed Oat Protein'), amount],
      ]);
      return ingredientList(place, mix, [])[1]?.group;
    };
    expect([9_999_999, 10_000_000, 10_000_001].map((ug) => group('EU', ug))).toEqual(['small', 'main', 'main']);
    expect([9_999_999, 10_000_000, 10_000_001].map((ug) => group('US', ug))).toEqual(['small', 'small', 'main']);
  });

  it('a colour comes last whatever its share (21 CFR 701.3(f)(3)), by its number or where it is said to be one', () => {
    const { mix } = mixOf([
      [ingredient('mica', 'Mica', { madeOf: [{ inci: 'Mica', ppm: 1_000_000, colour: true }] }), 600],
      [ingredient('base', 'Talc'), 399],
      [ingredient('dye', 'CI 15985:1'), 1],
    ]);
    expect(names(ingredientList('EU', mix, []))).toEqual(['Talc', 'Mica', 'CI 15985:1']);
    expect(['CI 42090', 'ci 42090', 'CI 4209', 'CI 420900', 'CIT 42090'].map(isColourIndex)).toEqual([
      true,
      true,
      false,
      false,
      false,
    ]);
  });

  it('a name for the US that is stated once holds for all of the substance', () => {
    const blue = (id: string, us?: string) =>
      ingredient(id, 'CI 42090', us ? { madeOf: [{ inci: 'CI 42090', us, ppm: 1_000_000 }] } : {});
    const { mix } = mixOf([
      [blue('a'), 1],
      [blue('b', 'FD&C Blue No. 1'), 2],
    ]);
    expect(names(ingredientList('US', mix, []))).toEqual(['FD&C Blue No. 1']);
    expect(names(ingredientList('EU', mix, []))).toEqual(['CI 42090']);
  });

  it('nanomaterials are followed by (nano) in the EU (Reg. (EC) 1223/2009, Art. 19(1)(g))', () => {
    const { mix } = mixOf([
      [ingredient('z', 'Zinc Oxide', { madeOf: [{ inci: 'Zinc Oxide', nano: true, ppm: 1_000_000 }] }), 1],
      [ingredient('y', 'Zinc Oxide'), 2],
    ]);
    expect(names(ingredientList('EU', mix, []))).toEqual(['Zinc Oxide', 'Zinc Oxide (nano)']);
    expect(names(ingredientList('US', mix, []))).toEqual(['Zinc Oxide']);
  });

  it('water of all materials adds up, whatever it is called (common practice, no source)', () => {
    const { mix } = mixOf([
      [
        ingredient('s', 'Decyl Glucoside', {
          madeOf: [
            { inci: 'Decyl Glucoside', ppm: 500_000 },
            { inci: 'AQUA', ppm: 500_000 },
          ],
        }),
        10,
      ],
      [ingredient('w', 'Water'), 3],
      [ingredient('v', 'Aqua/Water/Eau'), 2],
      [ingredient('u', 'Water (Aqua)'), 1],
      [ingredient('f', 'Rosa Damascena Flower Water'), 4],
    ]);
    const rows = ingredientList('EU', mix, []);
    expect(rows.map(({ name, ppm }) => [name, ppm])).toEqual([
      ['Aqua', 550_000],
      ['Decyl Glucoside', 250_000],
      ['Rosa Damascena Flower Water', 200_000],
    ]);
    expect(listText(rows)).toBe('Ingredients: Aqua, Decyl Glucoside, Rosa Damascena Flower Water');
  });
});

// A made-up perfume with 2.0 % limonene; shares in hundredths of a percent of the product.
const scented = (parfum: number, more: readonly [string, number][] = []) =>
  mixOf([
    [ingredient('base', 'Talc'), 10_000 - parfum - more.reduce((sum, [, amount]) => sum + amount, 0)],
    [ingredient('perfume', 'Parfum', { allergens: [{ inci: 'Limonene', ppm: 20_000 }] }), parfum],
    ...more.map(([inci, amount]) => [ingredient(inci, inci), amount] as const),
  ]).mix;

describe('fragrance allergens in the EU (Reg. (EC) 1223/2009, Annex III; Reg. (EU) 2023/1545)', () => {
  it('0.8 % perfume with 2.0 % limonene: 0.016 %, named on a rinse-off bar; 0.4 %: 0.008 %, not named', () => {
    expect(allergensToName(scented(80), 'rinse-off', 0).map(({ inci }) => inci)).toEqual(['Limonene']);
    expect(allergensToName(scented(40), 'rinse-off', 0)).toEqual([]);
    expect(allergensToName(scented(40), 'leave-on', 0)).toHaveLength(1);
  });

  it('only what exceeds the threshold: 0.01 % and 0.001 % themselves do not', () => {
    expect(allergensToName(scented(50), 'rinse-off', 0)).toEqual([]);
    expect(allergensToName(scented(51), 'rinse-off', 0)).toHaveLength(1);
    expect(allergensToName(scented(5), 'leave-on', 0)).toEqual([]);
    expect(allergensToName(scented(6), 'leave-on', 0)).toHaveLength(1);
  });

  it('the finished product counts: what was just at the threshold is over it once water is gone', () => {
    expect(allergensToName(scented(50), 'rinse-off', 1)).toHaveLength(1);
    // 0.0098 % as added is 0.01032 % after a loss of 5 %
    expect(allergensToName(scented(49), 'rinse-off', 50_000)).toHaveLength(1);
  });

  it('adds up all that carry it, and names it once', () => {
    const oil = (id: string) => ingredient(id, `${id} Oil`, { allergens: [{ inci: 'Limonene', ppm: 600_000 }] });
    const { mix } = mixOf([
      [ingredient('base', 'Talc'), 999_800],
      [oil('Lime'), 100],
      [oil('Orange'), 100],
    ]);
    expect(allergensToName(mix, 'rinse-off', 0)).toMatchObject([{ inci: 'Limonene', from: ['Lime', 'Orange'] }]);
    const rows = ingredientList('EU', mix, allergensToName(mix, 'rinse-off', 0));
    expect(names(rows)).toEqual(['Talc', 'Lime Oil', 'Orange Oil', 'Limonene']);
    expect(rows.filter(({ counted }) => counted).reduce((sum, { ppm }) => sum + ppm, 0)).toBe(1_000_000);
    expect(rows.at(-1)).toMatchObject({ group: 'allergen', counted: false, ppm: 120 });
  });

  it('one that is an ingredient itself stands in its own place, once', () => {
    const mix = scented(80, [['Limonene', 300]]);
    expect(names(ingredientList('EU', mix, allergensToName(mix, 'rinse-off', 0)))).toEqual([
      'Talc',
      'Limonene',
      'Parfum',
    ]);
  });

  it('one of 1 % or more stands among the others by its weight', () => {
    const { mix } = mixOf([
      [ingredient('base', 'Talc'), 80],
      [ingredient('oil', 'Citrus Oil', { allergens: [{ inci: 'Limonene', ppm: 900_000 }] }), 20],
      [ingredient('x', 'Glycerin'), 19],
    ]);
    expect(names(ingredientList('EU', mix, allergensToName(mix, 'leave-on', 0)))).toEqual([
      'Talc',
      'Citrus Oil',
      'Glycerin',
      'Limonene',
    ]);
    expect(names(ingredientList('EU', mix, allergensToName(mix, 'leave-on', 0)), 'main')).toHaveLength(4);
  });

  it('24 names before 2023, 80 in all; the names themselves are from memory and published summaries', () => {
    expect([LONG_KNOWN.length, new Set([...LONG_KNOWN, ...ADDED_2023]).size]).toEqual([24, 80]);
    expect(['limonene', 'LINALOOL', 'Limonen'].map(isKnownAllergen)).toEqual([true, true, false]);
  });

  it('oils that the annex seems to list as a whole are told', () => {
    expect(wholeOilName('Lavandula Angustifolia Oil')).toBe('Lavandula Oil/Extract');
    expect(wholeOilName('Cedrus Atlantica Bark Oil')).toBe('Cedrus Atlantica Oil/Extract');
    expect(wholeOilName('Mentha Piperita Leaf Extract')).toBe('Mentha Piperita Oil');
    expect(wholeOilName('Avena Sativa Kernel Oil')).toBeUndefined();
    expect(wholeOilName('Rosa Canina Seed Oil')).toBeUndefined();
    expect(wholeOilName('Lavandula Angustifolia Flower Water')).toBeUndefined();
  });
});
