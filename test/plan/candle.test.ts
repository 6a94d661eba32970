import { expect, it } from 'vitest';
import { drawOf, drawsOf, fixture, formulaFrom, planOf, refusalsOf, workshopFrom } from './fixtures.ts';

const workshop = workshopFrom(fixture('workshops/candle/workshop.yaml'));
const candle = formulaFrom(fixture('workshops/candle/formulas/evening-candle.yaml'), workshop);

// Worked out by hand: 12 x 180 g / 0.98 = 2204.081632... g; wax takes what 7 % and 0.06 % leave.
it.each([
  ['wax', 2_048_473_470],
  ['fragrance', 154_285_714],
  ['dye', 1_322_449],
])('a candle of twelve glasses with 2 %% loss: %s', (ingredient, target) => {
  expect(drawOf(planOf(workshop, candle), ingredient).target).toBe(target);
});

it('adds up, and the hot jug is not asked for on a scale: the cup carries what goes in late', () => {
  const plan = planOf(workshop, candle);
  expect(drawsOf(plan).reduce((sum, { target }) => sum + target, 0)).toBe(2_204_081_633);
  expect(drawOf(plan, 'fragrance')).toMatchObject({ way: 'cup', over: 'never' });
  expect(drawOf(plan, 'dye')).toMatchObject({ way: 'cup', scale: 'fine' });
});

it('more than 8 % of fragrance is refused in the formula', () => {
  const text = fixture('workshops/candle/formulas/evening-candle.yaml').replace('share: 7 %', 'share: 8.01 %');
  expect(() => formulaFrom(text, workshop)).toThrow(/it has 8\.01 %/);
});

it('a batch past the jug is refused', () => {
  expect(refusalsOf(workshop, candle, { bars: 14 })[0]?.why).toMatch(/Pouring jug, steel/);
});
