import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Formula, FormulaDraw } from '../../src/formula/model.ts';
import { readFormula } from '../../src/formula/readFormula.ts';
import { mass } from '../../src/mass/mass.ts';
import { splitByShares } from '../../src/mass/split.ts';
import { makePlan } from '../../src/plan/plan.ts';
import { planStock, type StockPlan } from '../../src/plan/planStock.ts';
import { makingText, usingText, workshopText } from '../../src/plan/stockFiles.ts';
import { BAND_PARTS, bandToShare } from '../../src/plan/stockSolution.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { BATCH_DAY, drawOf, formulaFrom, planOf, workshopFrom } from './fixtures.ts';
import { recheck } from './recheck.ts';

const shopText = `name: Dyer
operators: [Someone]
scales:
  bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}
  fine: {capacity: 200 g, d: 0.01 g, repeatability: 0.004 g, keyed: yes}
vessels:
  bowl: {name: Bowl, tare: 300 g, usable: 4 l}
  beaker: {name: Beaker, tare: 90 g, usable: 250 ml}
  cup: {name: Cup, tare: 30 g, usable: 25 ml}
  jar: {name: Jar, tare: 40 g}
ingredients:
  # colours
  red:
    name: Red dye
    inci: CI 17200
    density: 0.5 g/ml
    hazards: [dust, sensitiser]
    lots: {R-1: {on hand: 20 g, jar: jar}}
  water: {name: Water, inci: Aqua, density: 1.00 g/ml, lots: {W-1: {on hand: 5 kg}}}
  base: {name: Base, inci: Base, density: 0.9 g/ml, lots: {B-1: {on hand: 5 kg}}}
`;
const formulaText = (red: number, water: number, again = 0) => `# a soap
name: Rose bar
version: 2
batch: 1 kg
limits:
  - { of: red, most: 0.02 %, why: shade }
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
      - draw: water # first
        share: ${water} %
        band: 2 %
      - draw: red
        share: ${red} %
        band: 5 %
        over: never
        way: subtract
${again > 0 ? `      - { draw: water, share: ${again} %, band: 5 % }\n` : ''}      - draw: base
        share: ${(100 - red - water - again).toFixed(4)} %
        band: 2 %
`;
const workshop = workshopFrom(shopText);
const wish = (formula: Formula, more: object = {}) => {
  return { workshop, formula, ingredient: 'red', carrier: undefined, size: undefined, today: BATCH_DAY, ...more };
};
const stockOf = (formula: Formula): StockPlan => {
  const found = planStock(wish(formula));
  if (!found.ok) throw new Error(found.why);
  return found.stock;
};
const draws = (formula: Formula): FormulaDraw[] =>
  formula.phases.flatMap(({ work }) => work.filter((item) => item.kind === 'draw'));

describe('a stock for 0.022 g of dye in a kilogram', () => {
  const formula = formulaFrom(formulaText(0.0022, 3), workshop);
  const stock = stockOf(formula);
  const textUsing = (red: number, water: number) => {
    const changed = usingText(formulaText(red, water), stock);
    return changed.ok ? changed.text : undefined;
  };

  it('is the strongest that can be weighed with ease, its making a small batch of its own', () => {
    expect(makePlan(workshop, formula, undefined, BATCH_DAY).ok).toBe(false);
    // 0.5 %: 4.4 g hold 0.022 g. The dye gets 3 %, the water 0.5 %, the draw 1.25 % of the 5 %.
    expect(stock).toMatchObject({ strength: '0.5 %', needed: 4_400_000 });
    const dye = drawOf(stock.makingPlan, 'red');
    // At 3 % the fine scale is good from (0.01395 + 0.01) / 0.03 = 0.80 g, so 160 g or more; 200 g is the round batch.
    expect(stock.makingPlan.mass).toBe(200_000_000);
    expect(dye).toMatchObject({ target: 1_000_000, way: 'subtract', scale: 'fine' });
    expect(drawOf(stock.makingPlan, 'water').target).toBe(199_000_000);
  });

  it('is planned in the batch, with so much less water, and no rule broken', () => {
    const drawn = drawOf(stock.plan, 'red-stock');
    expect(drawn).toMatchObject({ target: 4_400_000, scale: 'fine', over: 'never' });
    expect(drawOf(stock.plan, 'water').target).toBe(30_000_000 - 4_400_000 + 22_000);
    const lots = [
      { id: 'to-be-made', onHand: mass(8_800_000), expires: undefined, pricePerKg: undefined, jar: undefined },
    ];
    const ingredients = new Map(workshop.ingredients).set('red-stock', { ...stock.stock, lots });
    expect(recheck({ ...workshop, ingredients }, stock.using, stock.plan)).toEqual([]);
    expect(recheck(workshop, stock.making, stock.makingPlan)).toEqual([]);
  });

  it('is written and read back: workshop, its own formula, and the formula that uses it', () => {
    const text = workshopText(shopText, stock);
    const read = readWorkshop('workshop.yaml', text ?? '');
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    expect(read.workshop.ingredients.get('red-stock')).toMatchObject({
      madeOf: [
        { of: 'red', ppm: 5_000 },
        { of: 'water', ppm: 995_000 },
      ],
      hazards: ['sensitiser'],
    });
    expect(text?.replace(/ {2}red-stock:\n( {4}.*\n)+/, '')).toBe(shopText);
    const making = readFormula('red-stock.yaml', makingText(stock, 30), read.workshop);
    if (!making.ok) throw new Error(JSON.stringify(making.problems));
    expect(draws(making.formula)).toEqual(draws(stock.making));
    expect(making.formula.cautions.join()).toContain('Good for 30 days');
    const used = textUsing(0.0022, 3);
    const using = readFormula('rose-from-stock.yaml', used ?? '', read.workshop);
    if (!using.ok) throw new Error(JSON.stringify(using.problems));
    expect(draws(using.formula)).toEqual(draws(stock.using));
    // The highest level stands as it was written: what the stock holds of the dye counts.
    expect(using.formula.limits).toMatchObject([{ ingredients: ['red'], ppm: 200 }]);
    const tooMuch = readFormula('rose.yaml', (used ?? '').replace('most: 0.02 %', 'most: 0.0021 %'), read.workshop);
    expect(tooMuch.ok ? [] : tooMuch.problems).toMatchObject([{ hint: 'it has 0.0022 %' }]);
    expect(used).toContain('# first');
  });

  it('once it is made, it is drawn by its lot until its last day', () => {
    const made = `${workshopText(shopText, stock)}`.replace(
      '  red-stock:\n',
      '  red-stock:\n    lots: {2026-11-25-1: {on hand: 199 g, expires: 2026-12-24}}\n',
    );
    const shop = workshopFrom(made);
    const using = formulaFrom(textUsing(0.0022, 3) ?? '', shop);
    expect(drawOf(planOf(shop, using), 'red-stock')).toMatchObject({ lot: '2026-11-25-1' });
    const late = makePlan(shop, using, undefined, '2026-12-25');
    expect(late).toMatchObject({ ok: false, refusals: [{ where: 'A2' }] });
  });
});

describe('the carrier', () => {
  it('that is too little is refused, with how much is lacking', () => {
    // 0.5 % would take 4.378 g of water along, and there are 3 g.
    const formula = formulaFrom(formulaText(0.0022, 0.3), workshop);
    const found = planStock(wish(formula));
    expect(found).toMatchObject({ ok: false });
    expect(!found.ok && found.why).toContain('0.5 % would already take 1.378 g more');
  });

  it('that the formula lacks, or that is named and lacks, is said', () => {
    const formula = formulaFrom(formulaText(0.0022, 3), workshop);
    expect(planStock(wish(formula, { carrier: 'red' }))).toMatchObject({ ok: false });
    expect(planStock(wish(formula, { ingredient: 'nothing' }))).toMatchObject({ ok: false });
    const dry = {
      ...workshop,
      ingredients: new Map(workshop.ingredients).set('water', {
        ...workshop.ingredients.get('base'),
        id: 'water',
      } as never),
    };
    expect(planStock(wish(formula, { workshop: dry }))).toMatchObject({
      ok: false,
      why: expect.stringContaining('--carrier'),
    });
  });

  it('in several draws gives up what comes with the stock from each in proportion, and all adds up exactly', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 5, max: 200 }),
        fc.integer({ min: 20, max: 100 }),
        fc.integer({ min: 7, max: 50 }),
        (ppm, a, b) => {
          const formula = formulaFrom(formulaText(ppm / 10_000, a / 10, b / 10), workshop);
          const found = planStock(wish(formula));
          if (!found.ok) return;
          const { using, dilution } = found.stock;
          const before = draws(formula);
          const after = draws(using);
          expect(after.reduce((sum, { share }) => sum + share, 0)).toBe(1_000_000);
          const water = (of: readonly FormulaDraw[]) =>
            of.filter(({ ingredient }) => ingredient === 'water').map(({ share }) => share);
          const taken = ppm * (dilution - 1);
          const all = water(before).reduce((sum, share) => sum + share, 0);
          expect(water(after).reduce((sum, share) => sum + share, 0)).toBe(all - taken);
          expect(water(after)).toEqual(splitByShares(mass(all - taken), water(before)));
          expect(after.find(({ ingredient }) => ingredient === 'red-stock')?.share).toBe(ppm * dilution);
        },
      ),
      { numRuns: 60 },
    );
  });
});

it('however the three weighings fall out in their bands, the amount is in the band of the formula', () => {
  const percent = fc.integer({ min: 1, max: 5_000 }).map((each) => each / 10_000);
  const extreme = fc.constantFrom(-1, 0, 1);
  fc.assert(
    fc.property(percent, fc.constantFrom(10, 100, 1000), extreme, extreme, extreme, (relative, dilution, i, c, d) => {
      const t = bandToShare(relative);
      const dye = (1 / dilution) * (1 + i * BAND_PARTS.ingredient * t);
      const carrier = (1 - 1 / dilution) * (1 + c * BAND_PARTS.carrier * t);
      const amount = (dye / (dye + carrier)) * dilution * (1 + d * BAND_PARTS.draw * t);
      expect(Math.abs(amount - 1)).toBeLessThanOrEqual(relative + 1e-12);
    }),
  );
});
