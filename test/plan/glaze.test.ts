import { describe, expect, it } from 'vitest';
import { drawOf, drawsOf, fixture, formulaFrom, planOf, workshopFrom } from './fixtures.ts';

const glazeWorkshop = workshopFrom(fixture('workshops/glaze/workshop.yaml'));
const glaze = formulaFrom(fixture('workshops/glaze/formulas/harbour-fog.yaml'), glazeWorkshop);
const plan = planOf(glazeWorkshop, glaze);

describe('a craft without bars: a glaze of 100 parts and 6.5 parts of additions, 2662.5 g dry', () => {
  it.each([
    ['nepheline', 850],
    ['silica', 550],
    ['frit', 400],
    ['wollastonite', 350],
    ['ball-clay', 350],
    ['bentonite', 50],
    ['tin-oxide', 87.5],
    ['iron-oxide', 15],
    ['cobalt-carbonate', 10],
  ])('%s: %d g, to the microgram: shares in parts are exact', (ingredient, grams) => {
    expect(drawOf(plan, ingredient).target).toBe(grams * 1_000_000);
  });

  it('adds up, and the toxic colourant that must never be over is weighed in the cup', () => {
    expect(drawsOf(plan).reduce((sum, { target }) => sum + target, 0)).toBe(2_662_500_000);
    expect(drawOf(plan, 'cobalt-carbonate')).toMatchObject({ way: 'cup', scale: 'fine', over: 'never' });
    expect(plan).toMatchObject({ bars: null, bar: null });
  });

  it('marks the scale whose display is typed in', () => {
    expect(plan.scales).toMatchObject({ bench: { keyed: false }, fine: { keyed: true } });
  });
});
