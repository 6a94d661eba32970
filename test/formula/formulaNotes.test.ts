import { describe, expect, it } from 'vitest';
import { formulaNotes } from '../../src/formula/formulaNotes.ts';
import type { Ingredient, Workshop } from '../../src/workshop/model.ts';
import { demo, demoFormula, fixture, formulaFrom, workshopFrom } from '../plan/fixtures.ts';

function having(workshop: Workshop, id: string, change: Partial<Ingredient>): Workshop {
  const one = workshop.ingredients.get(id);
  if (!one) throw new Error(`no ${id}`);
  return { ...workshop, ingredients: new Map(workshop.ingredients).set(id, { ...one, ...change }) };
}

const wet = /^Water is in it \((.*)\), and no ingredient has `role: preservative`.*for a qualified person to judge\.$/;

describe('what a formula says about itself', () => {
  it('water without a preservative, and who is to judge; with one, nothing', () => {
    expect(formulaNotes(demoFormula, demo)).toEqual([]);
    const bare = having(demo, 'preservative', { role: undefined });
    expect(formulaNotes(demoFormula, bare)[0]?.match(wet)?.[1]).toBe(
      'Purified water, Red dye stock, 1 %, Decyl glucoside, 50 % active, Oat protein, hydrolysed, Lactic acid, 80 %',
    );
  });

  it('water that comes in with a material, or with what that is made of, is water', () => {
    const phases = demoFormula.phases.map((phase) => ({
      ...phase,
      work: phase.work.filter(
        (item) => item.kind !== 'draw' || ['decyl-glucoside', 'corn-starch'].includes(item.ingredient),
      ),
    }));
    const dry = having(demo, 'decyl-glucoside', { madeOf: [{ inci: 'Decyl Glucoside', ppm: 1_000_000 }] });
    const mixed = having(demo, 'decyl-glucoside', { madeOf: [{ of: 'red-stock', ppm: 1_000_000 }] });
    const notes = (shop: Workshop) => formulaNotes({ ...demoFormula, phases }, shop).filter((note) => wet.test(note));
    expect([demo, mixed, dry].map((shop) => notes(shop).length)).toEqual([1, 1, 0]);
  });

  it('what is dry is not told, and what is water by its role is', () => {
    const glazeShop = workshopFrom(fixture('workshops/glaze/workshop.yaml'));
    const glaze = formulaFrom(fixture('workshops/glaze/formulas/harbour-fog.yaml'), glazeShop);
    expect(formulaNotes(glaze, glazeShop)).toEqual([]);
    expect(formulaNotes(glaze, having(glazeShop, 'frit', { role: 'water' }))[0]).toMatch(wet);
  });

  it('the active matter: share times strength, added up over all that have one', () => {
    // 9 % of 50 % and 46 % of 65 %: 4.5 + 29.9
    const strong = having(having(demo, 'decyl-glucoside', { active: 500_000 }), 'sulfoacetate', { active: 650_000 });
    expect(formulaNotes(demoFormula, strong)).toEqual([
      'Active matter: 34.4 % of the batch, from Decyl glucoside, 50 % active, Sulfoacetate powder.',
    ]);
  });
});
