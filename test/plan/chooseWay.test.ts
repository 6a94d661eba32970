import { describe, expect, it } from 'vitest';
import { drawOf, planOf, smallFormula, smallWorkshop } from './fixtures.ts';

function dye(percent: number, keys: string, changes: Parameters<typeof smallWorkshop>[0] = {}) {
  const workshop = smallWorkshop({ bowl: 'tare: 900 g, usable: 40 l', ...changes });
  return drawOf(planOf(workshop, smallFormula(workshop, percent, keys)), 'dye');
}

const plenty = { lots: '{D-1: {on hand: 5 kg}}' };

describe('which scale and which way', () => {
  it('straight into the bowl on the sturdy scale, where that is good enough', () => {
    // 20 g at 2 %: the bench scale is good from (0.1633 + 0.1) g / 0.02 = 13.17 g.
    expect(dye(2, 'band: 2 %', plenty)).toMatchObject({ way: 'add', scale: 'bench', on: 'bowl' });
  });

  it('by cup on the fine scale, where the sturdy one is too coarse and the bowl too heavy', () => {
    expect(dye(0.4, 'band: 2 %', plenty)).toMatchObject({ way: 'cup', scale: 'fine', on: 'cup' });
  });

  it('by cup rather than with a band narrowed by a guard', () => {
    // 5 g at 5 % could just be weighed on the bench scale, but only with most of its band kept off.
    expect(dye(0.5, 'band: 5 %', plenty)).toMatchObject({ way: 'cup', scale: 'fine', guard: 0 });
  });

  it('by cup, when it must never be over, though the bowl would do', () => {
    expect(dye(1, 'band: 5 %, over: never', plenty)).toMatchObject({ way: 'cup', scale: 'fine' });
  });

  it('into the bowl and said so, when it must never be over and no cup will do', () => {
    const draw = dye(2, 'band: 5 %, over: never', { ...plenty, cup: '' });
    expect(draw).toMatchObject({ way: 'add', scale: 'bench' });
    expect(draw.why).toContain('no cup will do');
  });

  it('by two cups, when it must never be over and one cup does not hold it', () => {
    // 20 g at 0.5 g/ml are 40 ml, and the cup holds 25.
    const workshop = smallWorkshop(plenty);
    const plan = planOf(workshop, smallFormula(workshop, 2, 'band: 5 %, over: never'));
    const parts = plan.tasks.filter((task) => task.kind === 'draw' && task.ingredient === 'dye');
    const part = { group: 'A2', of: 2, target: 20_000_000, low: 19_000_000, high: 21_000_000 };
    expect(parts).toMatchObject([
      { id: 'A2.1', way: 'cup', on: 'cup', vessel: 'bowl', target: 10_000_000, part: { ...part, index: 1 } },
      { id: 'A2.2', way: 'cup', on: 'cup', vessel: 'bowl', target: 10_000_000, part: { ...part, index: 2 } },
    ]);
    expect(parts.map((each) => each.kind === 'draw' && each.lotOnHand - 5_000_000_000)).toEqual([0, -10_000_000]);
    expect(plan.notes).toContain('Dye: 2 cups of about 10.000 g, as Cup holds no more.');
  });

  it('out of its jar as a last resort', () => {
    const draw = dye(0.4, 'band: 2 %', { cup: '' });
    expect(draw).toMatchObject({ way: 'subtract', scale: 'fine', on: 'jar' });
  });

  it('as the formula prescribes, where it can be done', () => {
    expect(dye(1, 'band: 5 %, way: subtract')).toMatchObject({ way: 'subtract', on: 'jar', scale: 'fine' });
    expect(dye(2, 'band: 5 %, way: subtract, scale: bench')).toMatchObject({ way: 'subtract', scale: 'bench' });
    expect(dye(1, 'band: 5 %, cup: cup', plenty)).toMatchObject({ way: 'cup', on: 'cup' });
  });

  it('the smallest cup that has room', () => {
    const cups = 'cup: {name: Cup, tare: 30 g, usable: 25 ml}\n  dish: {name: Dish, tare: 20 g, usable: 150 ml}';
    const both = { ...plenty, cup: cups };
    expect(dye(1, 'band: 5 %, way: cup', both)).toMatchObject({ on: 'cup' });
    expect(dye(2, 'band: 5 %, way: cup', both)).toMatchObject({ on: 'dish' });
  });

  it('a larger cup where the smaller one is too heavy for the scale', () => {
    const cups = 'flask: {name: Flask, tare: 250 g, usable: 50 ml}\n  dish: {name: Dish, tare: 20 g, usable: 150 ml}';
    expect(dye(0.4, 'band: 2 %, way: cup', { ...plenty, cup: cups })).toMatchObject({ on: 'dish', scale: 'fine' });
  });

  it('by one cup that the scale just carries, filled to the top of its band, though not to that of its tolerance', () => {
    // U = 0.014 g: a band of 0.028 g needs its guard, so the cup never weighs more than 189.98 + 10.01 g. In two parts
    // U is 0.020 g, and the band is too narrow.
    const changes = { ...plenty, cup: 'cup: {name: Cup, tare: 189.98 g, usable: 25 ml}' };
    expect(dye(1, 'band: 0.028 g, way: cup', changes)).toMatchObject({ on: 'cup', scale: 'fine', part: null });
  });

  it('never a stock jar or the bowl itself for a cup', () => {
    const jar = 'jar: {name: Jar, tare: 40 g, usable: 20 ml}';
    const lots = '{D-1: {on hand: 25 g, jar: jar}}';
    expect(dye(0.4, 'band: 5 %, way: cup', { jar, lots })).toMatchObject({ on: 'cup' });
  });

  it('without a density there is no objection, but a note', () => {
    const workshop = smallWorkshop({ ...plenty, density: '' });
    const plan = planOf(workshop, smallFormula(workshop, 2, 'band: 5 %, way: cup'));
    expect(drawOf(plan, 'dye').way).toBe('cup');
    expect(plan.notes.join()).toContain('Dye: its density is not known');
  });

  it('into one of several bowls that the scale just carries, filled to the top of its band', () => {
    // U = 0.164 g: a band of 0.3 g needs its guard, so the first bowl weighs 4774.4 + 115.5 + 110.1 g at the most.
    const workshop = smallWorkshop({ ...plenty, bowl: 'tare: 4774.4 g, usable: 4 l, count: 2' });
    const plan = planOf(workshop, smallFormula(workshop, 50, 'band: 0.3 g, way: add, scale: bench', '220 g'));
    expect(drawOf(plan, 'dye')).toMatchObject({ on: 'bowl', part: null });
  });

  it('in parts from two lots, each out of its own jar', () => {
    const workshop = smallWorkshop({
      lots: '{D-1: {on hand: 6 g, expires: 2027-01-01, jar: jar}, D-2: {on hand: 50 g, jar: jar-2}}',
      jar: 'jar: {name: Jar, tare: 40 g}\n  jar-2: {name: Jar 2, tare: 45 g}',
    });
    const plan = planOf(workshop, smallFormula(workshop, 1, 'band: 5 %, way: subtract'));
    const parts = plan.tasks.filter((task) => task.kind === 'draw' && task.ingredient === 'dye');
    expect(parts).toMatchObject([
      { id: 'A2.1', on: 'jar', lot: 'D-1', target: 6_000_000, part: { index: 1, of: 2 } },
      { id: 'A2.2', on: 'jar-2', lot: 'D-2', target: 4_000_000, part: { index: 2, of: 2 } },
    ]);
  });
});
