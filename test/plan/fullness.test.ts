import { describe, expect, it } from 'vitest';
import { drawOf, drawsOf, planOf, smallFormula, smallWorkshop } from './fixtures.ts';

describe('a vessel that will be nearly full', () => {
  // 990 g at 5 % above and 1.00 g/ml are 1039.5 ml; 10 g of dye at 5 % above and 0.50 g/ml are 21 ml more.
  const bowl = (usable: string) =>
    smallWorkshop({ bowl: `tare: 900 g, usable: ${usable}`, lots: '{D-1: {on hand: 5 kg}}' });
  const planned = (usable: string, keys = 'band: 5 %, way: add') => {
    const workshop = bowl(usable);
    return planOf(workshop, smallFormula(workshop, 1, keys));
  };

  it('is told in the plan, and at the draw that fills it', () => {
    const plan = planned('1115 ml');
    expect(plan.notes).toContain('Bowl will be up to 95 % full.');
    expect(drawOf(plan, 'dye').note).toBe('Bowl will be up to 95 % full.');
    expect(drawOf(plan, 'base').note).toBe('Bowl will be up to 93 % full.');
  });

  it('is not told where there is room, and refused where there is none', () => {
    const plan = planned('1200 ml');
    expect(plan.notes.join()).not.toContain('full');
    expect(drawsOf(plan).map(({ note }) => note)).toEqual([null, null]);
    expect(() => planned('1060 ml')).toThrow('Bowl holds 1060 ml, and 1061 ml would be in it');
    expect(planned('1061 ml').notes).toContain('Bowl will be up to 100 % full.');
  });

  it('a cup too, and the note of the formula stays before it', () => {
    // 11 g at 5 % above and 0.50 g/ml are 23.1 ml of the 25.
    const workshop = bowl('4 l');
    const plan = planOf(workshop, smallFormula(workshop, 1.1, 'band: 5 %, way: cup, note: Sift it.'));
    expect(drawOf(plan, 'dye').note).toBe('Sift it. Cup will be up to 92 % full.');
  });
});
