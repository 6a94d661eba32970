import { describe, expect, it } from 'vitest';
import { sumOf } from '../../src/mass/mass.ts';
import { exactGrams, printMass } from '../../src/mass/text.ts';
import { demo, demoFormula, drawOf, drawsOf, planOf, refusalsOf } from './fixtures.ts';

const plan = planOf(demo, demoFormula);

// Worked out apart from this program, by hand and script, when the scenario was made: target to the milligram, and
// the weights that the scale can show inside the trade's band (common practice, no source).
const TABLE = [
  ['A1', 'cetearyl-alcohol', '92.784', '91.0', '94.6', 'bench', 'add', 'melt-jug'],
  ['A2', 'glyceryl-stearate', '55.670', '54.6', '56.7', 'bench', 'add', 'melt-jug'],
  ['A3', 'shea-butter', '74.227', '72.8', '75.7', 'bench', 'add', 'melt-jug'],
  ['A4', 'cocoa-butter', '37.113', '36.4', '37.8', 'bench', 'add', 'melt-jug'],
  ['A5', 'vitamin-e', '3.711', '3.64', '3.78', 'fine', 'cup', 'dosing-cup'],
  ['B1', 'water', '34.144', '33.5', '34.8', 'bench', 'add', 'liquids-beaker'],
  ['B2', 'glycerin', '55.670', '54.6', '56.7', 'bench', 'add', 'liquids-beaker'],
  ['B3', 'blue-dye', '0.742', '0.72', '0.76', 'fine', 'subtract', 'dye-jar'],
  ['B4', 'red-stock', '2.227', '2.12', '2.33', 'fine', 'cup', 'dosing-cup'],
  ['B5', 'decyl-glucoside', '167.010', '163.7', '170.3', 'bench', 'add', 'liquids-beaker'],
  ['B6', 'oat-protein', '27.835', '27.3', '28.3', 'bench', 'add', 'liquids-beaker'],
  ['C1', 'tapioca-starch', '74.227', '72.8', '75.7', 'bench', 'add', 'powders-tub'],
  ['C2', 'corn-starch', '92.784', '91.0', '94.6', 'bench', 'add', 'powders-tub'],
  ['C3', 'oatmeal', '55.670', '54.6', '56.7', 'bench', 'add', 'powders-tub'],
  ['C4', 'cornflower-petals', '5.567', '5.29', '5.84', 'fine', 'cup', 'petal-dish'],
  ['D1.1', 'sulfoacetate', '512.000', '503.5', '520.5', 'bench', 'add', 'mixing-bowl'],
  ['D1.2', 'sulfoacetate', '341.608', '333.1', '350.1', 'bench', 'add', 'mixing-bowl'],
  ['D2', 'sulfosuccinate', '181.856', '180.1', '183.6', 'bench', 'add', 'mixing-bowl'],
  ['E1', 'preservative', '18.557', '18.19', '18.92', 'fine', 'cup', 'dosing-cup'],
  ['E2', 'lavender-oil', '11.134', '10.58', '11.35', 'fine', 'cup', 'dosing-cup'],
  ['E3', 'cedarwood-oil', '3.711', '3.53', '3.78', 'fine', 'cup', 'dosing-cup'],
  ['E4', 'lactic-acid', '7.423', '7.28', '7.57', 'fine', 'cup', 'dosing-cup'],
];

describe('the plan of the demo batch', () => {
  it('weighs 24 bars of 75 g at 3 % loss: 1855.670103 g, and its targets add up to that exactly', () => {
    expect(exactGrams(plan.mass)).toBe('1855.670103');
    expect(sumOf(drawsOf(plan).map(({ target }) => target))).toBe(plan.mass);
    expect(sumOf(plan.phases.map(({ mass }) => mass))).toBe(plan.mass);
  });

  it('gives every draw the target, band, scale, way and vessel of the table', () => {
    const rows = drawsOf(plan).map((draw) => {
      const decimals = draw.scale === 'bench' ? 1 : 2;
      const [target, low, high] = [
        printMass(draw.target, { decimals: 3 }),
        printMass(draw.low, { decimals }),
        printMass(draw.high, { decimals }),
      ];
      return [draw.id, draw.ingredient, target, low, high, draw.scale, draw.way, draw.on];
    });
    expect(rows).toEqual(TABLE);
  });

  it('leaves out the expired lot and takes the next', () => {
    expect(drawOf(plan, 'oat-protein').lot).toBe('OP-15');
    expect(plan.notes).toContain('Oat protein, hydrolysed: lot OP-12 expired on 2026-11-13 and is left out.');
  });

  it('uses up the lot that ends first and takes the rest from the next, under one band', () => {
    const parts = drawsOf(plan).filter(({ ingredient }) => ingredient === 'sulfoacetate');
    expect(parts.map(({ lot, target }) => [lot, exactGrams(target)])).toEqual([
      ['SA-88', '512.000'],
      ['SA-91', '341.608248'],
    ]);
    for (const { part } of parts) {
      expect(part).toMatchObject({ group: 'D1', of: 2, target: 853_608_248, low: 845_100_000, high: 862_100_000 });
    }
    // Whatever the first part weighs inside its band, the last part's planned band is what is left of the whole.
    expect(parts[1]).toMatchObject({ low: 845_100_000 - 512_000_000, high: 862_100_000 - 512_000_000 });
  });

  it('follows the order of work at the bench, steps between draws', () => {
    const order = plan.tasks.map((task) => (task.kind === 'draw' ? task.ingredient : task.step));
    expect(order.slice(5, 16)).toEqual([
      'sum',
      'melt',
      'water',
      'glycerin',
      'blue-dye',
      'red-stock',
      'whisk',
      'decyl-glucoside',
      'oat-protein',
      'sum',
      'mix',
    ]);
    expect(new Set(plan.tasks.map(({ id }) => id)).size).toBe(plan.tasks.length);
    expect(plan.tasks.find(({ id }) => id === 'A/1')).toMatchObject({ step: 'melt', forMs: 30_000, times: 8 });
  });

  it('is plain data: the same after a trip through JSON', () => {
    expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
  });

  it('never asks for a bowl on the scale when a cup is used, nor for more than a scale carries', () => {
    for (const draw of drawsOf(plan)) {
      const scale = plan.scales[draw.scale];
      const on = plan.vessels[draw.on];
      if (!scale || !on) throw new Error(`${draw.id} names no scale or vessel of the plan`);
      expect(on.tare + draw.high).toBeLessThanOrEqual(scale.capacity);
      if (draw.way === 'cup') expect(draw.on).not.toBe(draw.vessel);
      expect(draw.low % scale.d).toBe(0);
      expect(draw.high % scale.d).toBe(0);
    }
  });
});

describe('other sizes of the demo batch', () => {
  it('are refused where a vessel would overflow, with the batch that fits; the petals take two dishes', () => {
    const refusals = refusalsOf(demo, demoFormula, { bars: 40 });
    expect(refusals.map(({ where, instead }) => [where, instead])).toEqual([
      ['A4', 'A batch of at most 2696 g (34 bars), or 2 of Melt jug, steel (`count: 2`), or a vessel of 918 ml.'],
      ['B5', 'A batch of at most 2182 g (28 bars), or 2 of Liquids beaker, glass (`count: 2`), or a vessel of 454 ml.'],
      ['D/1', 'A batch of at most 2119 g (27 bars), or a vessel of 7005 ml.'],
    ]);
    expect(planOf(demo, demoFormula, { bars: 27 }).bars).toBe(27);
    // The vessel that is named is the smallest that does.
    for (const [id, where, ml] of [
      ['melt-jug', 'A4', 918],
      ['liquids-beaker', 'B5', 454],
      ['mixing-bowl', 'D/1', 7005],
    ] as const) {
      const withVessel = (usableMl: number) => {
        const vessel = demo.vessels.get(id);
        const vessels = vessel ? new Map(demo.vessels).set(id, { ...vessel, usableMl }) : demo.vessels;
        return refusalsOf({ ...demo, vessels }, demoFormula, { bars: 40 }).map((refusal) => refusal.where);
      };
      expect(withVessel(ml)).not.toContain(where);
      expect(withVessel(ml - 1)).toHaveLength(3);
    }
  });
});
