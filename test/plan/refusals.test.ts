import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Formula } from '../../src/formula/model.ts';
import type { Mass } from '../../src/mass/mass.ts';
import { readMassWithUnit } from '../../src/mass/text.ts';
import type { Refusal } from '../../src/plan/model.ts';
import { makePlan } from '../../src/plan/plan.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { BATCH_DAY, demo, demoFormula, drawOf, planOf, refusalsOf, smallFormula, smallWorkshop } from './fixtures.ts';

function refusalOf(workshop: Workshop, formula: Formula): Refusal {
  const [first, ...rest] = refusalsOf(workshop, formula);
  if (!first || rest.length > 0) throw new Error('expected exactly one refusal');
  return first;
}

function grams(text: string): Mass {
  const read = readMassWithUnit(text);
  if (read === undefined) throw new Error(`unreadable: ${text}`);
  return read;
}

/** The batch that a refusal names as working. */
function batchIn({ instead }: Refusal) {
  const found = /atch of (?:at most )?([\d.]+ k?g)/.exec(instead ?? '')?.[1];
  if (found === undefined) throw new Error(`no batch in: ${instead}`);
  return grams(found);
}

describe('what can not be weighed is refused, with the nearest thing that works', () => {
  it('an amount too small: a larger batch, or a stock solution', () => {
    // 0.022 g of dye at 5 %, scale of d = 0.01 g and s = 0.004 g. The smallest weight rule alone (USP general chapter
    // 41, as 2 * max(s, 0.41 d) / tolerance) gives 0.164 g; with the guard band of U = 0.01395 g and 1 d of room it
    // takes (0.01395 + 0.01) / 0.05 = 0.4791 g. A draw of the stock gets a quarter of the band, 1.25 %, so twice 1.916 g
    // are weighed with ease: a 1 % stock holds 0.022 g in 2.2 g, which is less; one of 0.5 % in 4.4 g.
    const workshop = smallWorkshop({ bowl: 'tare: 900 g, usable: 40 l' });
    const formula = smallFormula(workshop, 0.0022, 'band: 5 %, way: subtract, scale: fine');
    const refusal = refusalOf(workshop, formula);
    expect(refusal).toEqual({
      where: 'A2',
      why: 'Dye, 0.022 g: the fine scale can weigh 0.480 g or more at 5 %.',
      instead: 'A batch of 21.8 kg, or a 0.5 % stock solution: 4.400 g of it on the fine scale.',
    });
    const dyeRefused = (size: Mass) => {
      const result = makePlan(workshop, formula, { mass: size }, BATCH_DAY);
      return !result.ok && result.refusals.some(({ where }) => where === 'A2');
    };
    expect(dyeRefused(batchIn(refusal))).toBe(false);
    expect(dyeRefused(grams('10000 g'))).toBe(true);
  });

  it('whatever batch is named for a small amount, the amount can be weighed in it', () => {
    const workshop = smallWorkshop({ bowl: 'tare: 900 g, usable: 40 l', lots: '{D-1: {on hand: 100 g, jar: jar}}' });
    const share = fc.integer({ min: 1, max: 5_000 });
    const band = fc.integer({ min: 1, max: 15 });
    fc.assert(
      fc.property(share, band, fc.constantFrom('fine', 'bench'), (ppm, percent, scale) => {
        const keys = `band: ${percent} %, way: subtract, scale: ${scale}`;
        const formula = smallFormula(workshop, ppm / 10_000, keys, '100 g');
        const planned = makePlan(workshop, formula, undefined, BATCH_DAY);
        if (planned.ok) return;
        const [refusal] = planned.refusals;
        if (!refusal?.why.includes('or more at')) throw new Error(refusal?.why);
        const again = makePlan(workshop, formula, { mass: batchIn(refusal) }, BATCH_DAY);
        const why = again.ok ? '' : again.refusals.find(({ where }) => where === 'A2')?.why;
        expect(why ?? '').not.toContain('or more at');
      }),
    );
  });

  it('a band in grams too fine for the scale: a wider band', () => {
    const workshop = smallWorkshop();
    const formula = smallFormula(workshop, 0.02, 'band: 0.01 g, way: subtract, scale: fine');
    const refusal = refusalOf(workshop, formula);
    expect(refusal.why).toContain('0.014 g either way, too coarse for a band of -0.010 g / +0.010 g');
    expect(refusal.instead).toBe('A band of 0.024 g either way on the fine scale.');
    const wider = smallFormula(workshop, 0.02, 'band: 0.025 g, way: subtract, scale: fine');
    expect(drawOf(planOf(workshop, wider), 'dye').guard).toBeGreaterThan(0);
  });

  it('a share just too fine: also a wider band', () => {
    const workshop = smallWorkshop();
    const formula = smallFormula(workshop, 0.04, 'band: 2 %, way: subtract, scale: fine');
    expect(refusalOf(workshop, formula).instead).toBe(
      'A batch of 2995 g, or a band of 5.99 % (0.024 g) either way on the fine scale.',
    );
  });

  it('the wider band that is named is the narrowest that works', () => {
    const workshop = smallWorkshop();
    const dyeRefused = (share: number, band: string) => {
      const result = makePlan(
        workshop,
        smallFormula(workshop, share, `band: ${band}, way: subtract, scale: fine`),
        undefined,
        BATCH_DAY,
      );
      return !result.ok && result.refusals.some(({ where }) => where === 'A2');
    };
    expect([dyeRefused(0.04, '5.99 %'), dyeRefused(0.04, '5.98 %')]).toEqual([false, true]);
    expect([dyeRefused(0.02, '0.024 g'), dyeRefused(0.02, '0.023 g')]).toEqual([false, true]);
  });

  it('a vessel too small or too heavy: another of the workshop in its place, the smallest that does', () => {
    const two = (bowl: string, others: string) =>
      smallWorkshop({ bowl, jar: `jar: {name: Jar, tare: 40 g}\n  ${others}`, lots: '{D-1: {on hand: 5 kg}}' });
    const tubs = 'tub: {name: Tub, tare: 500 g, usable: 9 l}\n  pail: {name: Pail, tare: 400 g, usable: 3 l}';
    const small = two('tare: 900 g, usable: 500 ml', tubs);
    const overflow = refusalOf(small, smallFormula(small, 1, 'band: 5 %'));
    expect(overflow.instead).toMatch(/^A batch of at most \d+ g, or Pail in its place, or a vessel of 1061 ml\.$/);
    // A bowl that is too heavy for every scale is filled by way of another vessel.
    const heavy = two('tare: 4.2 kg, usable: 4 l', tubs);
    const base = drawOf(planOf(heavy, smallFormula(heavy, 1, 'band: 5 %')), 'base');
    expect(base).toMatchObject({ way: 'cup', on: 'pail', vessel: 'bowl', scale: 'bench' });
  });

  it('capacity: vessel, what is in it and the top of the band', () => {
    const workshop = smallWorkshop({ bowl: 'tare: 900 g, usable: 40 l', lots: '{D-1: {on hand: 150 g, jar: jar}}' });
    const formula = smallFormula(workshop, 1, 'band: 5 %, way: subtract, scale: fine');
    const refusals = refusalsOf(workshop, formula, { mass: grams('10 kg') });
    expect(refusals).toMatchObject([{ where: 'A1' }]);
    // (5000 - 900) g hold a base of 9900 * 1.05 g in 10 kg: 10 kg * 4100 / 10395 = 3944 g.
    const [refusal] = refusals;
    if (!refusal) throw new Error('no refusal');
    expect(refusal.why).toContain('the bench scale takes 5000 g, and Bowl would weigh up to 11295.0 g');
    expect(refusal.instead).toBe('A batch of at most 3944 g, or a scale that takes 11295 g.');
    expect(planOf(workshop, formula, { mass: batchIn(refusal) }).mass).toBe(grams('3944 g'));
  });

  it('a jar that is too heavy for the scale that is asked for', () => {
    const workshop = smallWorkshop({ lots: '{D-1: {on hand: 190 g, jar: jar}}' });
    const formula = smallFormula(workshop, 1, 'band: 5 %, way: subtract, scale: fine');
    expect(refusalOf(workshop, formula).why).toContain(
      'the fine scale takes 200 g, and Jar would weigh up to 230.00 g',
    );
  });

  it('no jar to take it out of', () => {
    const workshop = smallWorkshop({ lots: '{D-1: {on hand: 190 g}}' });
    expect(refusalOf(workshop, smallFormula(workshop, 1, 'band: 5 %, way: subtract')).why).toBe(
      'Dye, 10.000 g: lot D-1 has no jar to take it out of.',
    );
  });

  it('no cup, or a cup that is too small', () => {
    const none = smallWorkshop({ cup: '' });
    expect(refusalOf(none, smallFormula(none, 1, 'band: 5 %, way: cup')).why).toContain('no vessel to use as a cup');
    const small = smallWorkshop({ lots: '{D-1: {on hand: 5 kg}}' });
    const formula = smallFormula(small, 6, 'band: 5 %, way: cup');
    const refusal = refusalOf(small, formula);
    // 60 g at 0.5 g/ml: four cups hold 100 ml.
    expect(refusal.why).toBe('Dye, 60.000 g: Cup holds 25 ml, and 126 ml would be in it, too much even for 4 parts.');
    expect(planOf(small, formula, { mass: batchIn(refusal) }).mass).toBeGreaterThan(0);
  });

  it('short stock: by how much, and the batch that it is enough for', () => {
    const workshop = smallWorkshop({
      lots: '{D-1: {on hand: 12 g, expires: 2027-01-01}, D-0: {on hand: 90 g, expires: 2026-11-24}}',
    });
    const formula = smallFormula(workshop, 2, 'band: 5 %, way: add');
    const refusal = refusalOf(workshop, formula);
    expect(refusal).toEqual({
      where: 'A2',
      why: 'Dye: 20.000 g are needed, and the lots in date are 8.000 g short (expired: D-0).',
      instead: 'A batch of at most 600 g, or another lot.',
    });
    expect(drawOf(planOf(workshop, formula, { mass: batchIn(refusal) }), 'dye').target).toBe(12_000_000);
  });

  it('the second lot missing from the demo: 341.6 g short', () => {
    const sulfoacetate = demo.ingredients.get('sulfoacetate');
    if (!sulfoacetate) throw new Error('no sulfoacetate');
    const lots = sulfoacetate.lots.filter(({ id }) => id === 'SA-88');
    const ingredients = new Map(demo.ingredients).set('sulfoacetate', { ...sulfoacetate, lots });
    const refusal = refusalOf({ ...demo, ingredients }, demoFormula);
    expect(refusal).toMatchObject({ where: 'D1', instead: 'A batch of at most 1113 g (14 bars), or another lot.' });
    expect(refusal.why).toContain('341.608 g short');
  });

  it('a band that reaches down to nothing', () => {
    const workshop = smallWorkshop();
    const refusal = refusalOf(workshop, smallFormula(workshop, 1, 'band: 10 g'));
    expect(refusal.why).toBe('Dye: a band that goes 10.000 g under a target of 10.000 g reaches down to nothing.');
    const above = smallFormula(workshop, 1, 'band: 9.99 g, way: subtract, scale: fine');
    expect(drawOf(planOf(workshop, above), 'dye').low).toBe(grams('0.01 g'));
  });

  it('what is in the vessel already counts for the scale, at the top of its bands', () => {
    const formula = (workshop: Workshop) => smallFormula(workshop, 40, 'band: 1 %, way: add, scale: bench', '4 kg');
    const lots = '{D-1: {on hand: 5 kg}}';
    // 2400 g of base at 5 % and 1600 g of dye at 1 %: 4136 g at most.
    const light = smallWorkshop({ bowl: 'tare: 864 g, usable: 20 l', lots });
    expect(drawOf(planOf(light, formula(light)), 'dye').scale).toBe('bench');
    const heavy = smallWorkshop({ bowl: 'tare: 865 g, usable: 20 l', lots });
    expect(refusalOf(heavy, formula(heavy)).why).toContain('Bowl would weigh up to 5001.0 g');
    // The same out of two lots: the second part stands on the first.
    const two = '{D-1: {on hand: 1 kg, expires: 2027-01-01}, D-2: {on hand: 4 kg}}';
    const parts = smallWorkshop({ bowl: 'tare: 865 g, usable: 20 l', lots: two });
    expect(refusalOf(parts, formula(parts)).why).toContain('Bowl would weigh up to 5001.0 g');
  });

  it('a lot that an earlier draw of the same batch has used up', () => {
    const workshop = smallWorkshop({ lots: '{D-1: {on hand: 25 g, expires: 2027-01-01}, D-2: {on hand: 100 g}}' });
    const once = smallFormula(workshop, 2, 'band: 5 %, way: add');
    const [phase] = once.phases;
    if (!phase) throw new Error('no phase');
    const work = phase.work.map((item) => {
      return item.kind === 'draw' && item.ingredient === 'base' ? { ...item, share: item.share - 20_000 } : item;
    });
    const twice = { ...once, phases: [{ ...phase, work: [...work, ...work.slice(1)] }] };
    const drawn = planOf(workshop, twice).tasks.filter((task) => task.kind === 'draw' && task.ingredient === 'dye');
    expect(drawn).toMatchObject([
      { id: 'A2', lot: 'D-1', lotOnHand: 25_000_000 },
      { id: 'A3.1', lot: 'D-1', lotOnHand: 5_000_000, target: 5_000_000 },
      { id: 'A3.2', lot: 'D-2', lotOnHand: 100_000_000, target: 15_000_000 },
    ]);
    // 40 g in all, and 125 g in stock: enough for 3.1 times as much.
    expect(refusalsOf(workshop, twice, { mass: grams('3.2 kg') }).map(({ instead }) => instead)).toContain(
      'A batch of at most 3125 g, or another lot.',
    );
  });

  it('every refusal at once', () => {
    const workshop = smallWorkshop({ bowl: 'tare: 900 g, usable: 500 ml', lots: '{}' });
    const refusals = refusalsOf(workshop, smallFormula(workshop, 0.001, 'band: 1 %'));
    expect(refusals.map(({ where }) => where)).toEqual(['A2', 'A2', 'A1']);
    for (const { why, instead } of refusals) {
      expect(why).toMatch(/\.$/);
      expect(instead).toMatch(/\.$/);
    }
  });

  it('sizes that leave nothing to weigh, or make no sense', () => {
    const workshop = smallWorkshop();
    const formula = smallFormula(workshop, 1, 'band: 5 %');
    expect(refusalsOf(workshop, formula, { bars: 5 })).toMatchObject([{ where: null }]);
    expect(refusalsOf(workshop, formula, { mass: grams('0.00001 g') }).length).toBeGreaterThan(0);
  });
});
