/** Net contents in both systems, against published rules and worked examples. */
import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readNet } from '../../src/formula/readLabel.ts';
import { keepsToNet, netContents } from '../../src/label/netContents.ts';

function net(text: string) {
  const declared = readNet(text);
  if (!declared) throw new Error(text);
  return netContents(declared);
}

describe('net contents', () => {
  // Rounded down to two decimals, never so as to overstate: NIST on metric labelling, NIST Handbook 130 (UPLR).
  it.each([
    ['60 g', 'Net Wt 2.11 oz (60 g)'],
    ['70 g', 'Net Wt 2.46 oz (70 g)'],
    ['85 g', 'Net Wt 2.99 oz (85 g)'],
    ['100 g', 'Net Wt 3.52 oz (100 g)'],
    ['113 g', 'Net Wt 3.98 oz (113 g)'],
    ['4 oz', 'Net Wt 4 oz (113 g)'],
    ['2.50 oz', 'Net Wt 2.50 oz (70.8 g)'],
    ['0.01 oz', 'Net Wt 0.01 oz (0.28 g)'],
    // 85.05 g is the least to two decimals that may say 3 oz
    ['85.05 g', 'Net Wt 3 oz (85.05 g)'],
    ['85.04 g', 'Net Wt 2.99 oz (85.04 g)'],
    ['0.75 lb', 'Net Wt 12 oz (340 g)'],
  ])('%s: %s', (text, us) => expect(net(text).US).toBe(us));

  // 21 CFR 701.13, from memory: "Net Wt 24 oz (1 lb 8 oz)".
  it.each([
    ['1.5 lb', 'Net Wt 24 oz (1 lb 8 oz) 680 g'],
    ['24 oz', 'Net Wt 24 oz (1 lb 8 oz) 680 g'],
    ['16 oz', 'Net Wt 16 oz (1 lb) 453 g'],
    ['15.99 oz', 'Net Wt 15.99 oz (453 g)'],
    ['500 g', 'Net Wt 17.63 oz (1 lb 1.63 oz) 500 g'],
    ['63.99 oz', 'Net Wt 63.99 oz (3 lb 15.99 oz) 1.81 kg'],
    // from four pounds on, from memory
    ['4 lb', 'Net Wt 4 lb (1.81 kg)'],
    ['2 kg', 'Net Wt 4 lb 6.54 oz (2 kg)'],
    ['25 lb', 'Net Wt 25 lb (11.3 kg)'],
  ])('from one pound on: %s: %s', (text, us) => expect(net(text).US).toBe(us));

  it('the EU gets the metric figure; none is asked for below 5 g (Reg. (EC) 1223/2009, Art. 19(1)(b))', () => {
    expect(net('70 g')).toMatchObject({ EU: '70 g', neededInEU: true });
    expect(net('2 oz')).toMatchObject({ EU: '56.6 g' });
    expect(net('0.25 oz')).toMatchObject({ EU: '7.08 g', neededInEU: true });
    expect(net('5 g').neededInEU).toBe(true);
    expect(net('4.999 g').neededInEU).toBe(false);
  });

  it('no converted figure overstates, and none is a whole step short; against an independent decimal library', () => {
    const declared = fc.record({
      digits: fc.integer({ min: 1, max: 999_999 }),
      scale: fc.integer({ min: 0, max: 2 }),
      unit: fc.constantFrom('g', 'oz', 'lb'),
    });
    fc.assert(
      fc.property(declared, ({ digits, scale, unit }) => {
        const number = new Decimal(digits).div(10 ** scale);
        const grams = number.mul(unit === 'g' ? 1 : unit === 'oz' ? '28.349523125' : '453.59237');
        fc.pre(grams.gte('0.283495') && grams.lt(90_000)); // what may be declared
        const { EU, US } = net(`${number.toFixed(scale)} ${unit}`);
        const [, metric = '', in_ = ''] = /^([\d.]+) (k?g)$/.exec(EU) ?? [];
        const metricGrams = new Decimal(metric).mul(in_ === 'kg' ? 1000 : 1);
        expect(metricGrams.lte(grams)).toBe(true);
        if (unit !== 'g' && grams.gte(1)) expect(metricGrams.div(grams).gt(0.99)).toBe(true);
        const plain = US.replace(/\(.*?\).*/, '');
        const pounds = new Decimal(/([\d.]+) lb/.exec(plain)?.[1] ?? 0);
        const ounces = pounds.mul(16).plus(/([\d.]+) oz/.exec(plain)?.[1] ?? 0);
        const exact = grams.div('28.349523125');
        expect(ounces.lte(exact.plus('1e-12'))).toBe(true);
        expect(exact.minus(ounces).lt('0.01')).toBe(true);
        expect(plain).not.toMatch(/\.\d{3}/);
      }),
      { numRuns: 500 },
    );
  });

  it('a bar that dries must still weigh what is declared: 100 g at 3 % loss needs 103.10 g (Handbook 133, common practice)', () => {
    const declared = readNet('100 g');
    if (!declared) throw new Error('100 g');
    expect(keepsToNet(declared, 103_100_000, 30_000)).toBe(true);
    expect(keepsToNet(declared, 103_090_000, 30_000)).toBe(false);
    expect(keepsToNet(declared, 100_000_000, 0)).toBe(true);
  });
});
