/** The label of the demo's bar, against the scenario's own list, which was worked out apart from this program. */
import { describe, expect, it } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import type { Fact } from '../../src/facts/fact.ts';
import { readFact } from '../../src/facts/readFact.ts';
import { labelJson } from '../../src/label/labelJson.ts';
import { type LabelSheet, labelOfBatch, labelOfFormula } from '../../src/label/labelSheet.ts';
import { printLabel } from '../../src/label/printLabel.ts';
import { mass } from '../../src/mass/mass.ts';
import { demo, demoFormula, planOf } from '../plan/fixtures.ts';
import { type Nets, walkOn } from '../rescue/walkTo.ts';
import { sealed } from '../weighing/samplePlan.ts';

const SCENARIO: readonly (readonly [string, number])[] = [
  ['Sodium Lauryl Sulfoacetate', 46.0],
  ['Disodium Lauryl Sulfosuccinate', 9.8],
  ['Aqua', 7.64],
  ['Cetearyl Alcohol', 5.0],
  ['Zea Mays Starch', 5.0],
  ['Decyl Glucoside', 4.5],
  ['Butyrospermum Parkii Butter', 4.0],
  ['Tapioca Starch', 4.0],
  ['Glycerin', 3.02],
  ['Avena Sativa Kernel Flour', 3.0],
  ['Glyceryl Stearate', 3.0],
  ['Theobroma Cacao Seed Butter', 2.0],
  ['Phenoxyethanol', 0.9],
  ['Lavandula Angustifolia Oil', 0.6],
  ['Hydrolyzed Oat Protein', 0.375],
  ['Lactic Acid', 0.32],
  ['Centaurea Cyanus Flower', 0.3],
  ['Cedrus Atlantica Bark Oil', 0.2],
  ['Tocopherol', 0.2],
  ['Ethylhexylglycerin', 0.1],
];

function sheet(result: ReturnType<typeof labelOfFormula>): LabelSheet {
  if (!result.ok) throw new Error(result.faults.join('\n'));
  return result.sheet;
}

/** By the workshop file as it is given, not by what the plan has kept. */
const NOW = { asStatedNow: true };

const planned = sheet(labelOfFormula(demoFormula, demo));

/** The demo's batch, done from end to end. */
function batch(nets: Nets = () => undefined): { plan: ReturnType<typeof planOf>; facts: readonly Fact[] } {
  const plan = planOf(demo, demoFormula);
  const begun = sealed([{ kind: 'batch-started', plan }, { kind: 'gathered' }]);
  return { plan, facts: walkOn(begun, null, null, nets).facts };
}

function labelOf({ plan, facts }: ReturnType<typeof batch>): LabelSheet {
  return sheet(labelOfBatch({ id: '2026-11-25-1', plan }, facts, demo, demoFormula));
}

describe("the label of the demo's formula", () => {
  it('has the list of the scenario, row by row, and its shares to the digits given there', () => {
    const rows = planned.EU.rows.filter(({ group }) => group === 'main' || group === 'small');
    expect(rows.map(({ name }) => name)).toEqual(SCENARIO.map(([name]) => name));
    rows.forEach(({ ppm }, index) => {
      const wanted = SCENARIO[index]?.[1] ?? 0;
      const digits = Math.max(2, String(wanted).split('.')[1]?.length ?? 0);
      expect((ppm / 10_000).toFixed(digits)).toBe(wanted.toFixed(digits));
    });
    expect(planned.EU.rows.slice(-2).map(({ name, group }) => [name, group])).toEqual([
      ['CI 42090', 'colour'],
      ['CI 17200', 'colour'],
    ]);
  });

  it('adds up to exactly 100 %', () => {
    for (const { rows } of [planned.EU, planned.US]) {
      expect(rows.reduce((sum, { ppm, counted }) => sum + (counted ? ppm : 0), 0)).toBe(1_000_000);
    }
  });

  it('counts the water of the glucoside, the protein, the stock and the acid', () => {
    // 1.84 + 9 x 0.5 + 1.5 x 0.75 + 0.12 x 0.785 + 0.4 x 0.2, by hand
    expect(planned.EU.rows.find(({ name }) => name === 'Aqua')).toMatchObject({ ppm: 76_392 });
  });

  it('says where the order is open at target', () => {
    const ties = planned.notes.filter((note) => /weigh the same/.test(note));
    expect(ties).toEqual([
      'Cetearyl Alcohol and Zea Mays Starch weigh the same: the weights really used decide their order.',
      'Butyrospermum Parkii Butter and Tapioca Starch weigh the same: the weights really used decide their order.',
      'Avena Sativa Kernel Flour and Glyceryl Stearate weigh the same: the weights really used decide their order.',
    ]);
  });

  it('names the allergens of its oils that are over 0.01 % of the dried bar, beside them', () => {
    // linalyl acetate 0.6 x 34 % = 0.204, linalool 0.192, caryophyllene 0.018; limonene 0.0052 / 0.955 = 0.0054: not
    expect(planned.EU.rows.filter(({ group }) => group === 'allergen').map(({ name, ppm }) => [name, ppm])).toEqual([
      ['Linalyl Acetate', 2040],
      ['Linalool', 1920],
      ['Beta-Caryophyllene', 180],
    ]);
    const stays = sheet(labelOfFormula(demoFormula, demo, { use: 'leave-on' }));
    expect(stays.EU.rows.filter(({ group }) => group === 'allergen')).toHaveLength(5);
    expect(planned.US.rows.some(({ group }) => group === 'allergen')).toBe(false);
  });

  it('names colours for the US as the workshop states them, and water in English', () => {
    expect(planned.US.text).toMatch(
      /^Ingredients: Sodium Lauryl Sulfoacetate, .*, Water, .*, FD&C Blue No\. 1, D&C Red No\. 33$/,
    );
  });

  it('has its net contents, and its limits on the dried bar where they mean that', () => {
    expect(planned.net).toEqual({ EU: '70 g', US: 'Net Wt 2.46 oz (70 g)', neededInEU: true });
    // (0.60 + 0.20) / 0.955 = 0.837697 %
    expect(planned.levels[1]).toMatchObject({ ppm: 8_377, mostPpm: 10_000, dryingPpm: 45_000, over: false });
    expect(planned.levels.some(({ over }) => over)).toBe(false);
  });
});

describe("the label of a batch of the demo's bar", () => {
  it('goes by what was weighed: the starch that weighed a tenth of a gram more than the alcohol stands before it', () => {
    const really: Readonly<Record<string, number>> = { 'corn-starch': 92_900_000, 'cetearyl-alcohol': 92_800_000 };
    const more = batch(({ ingredient }) => {
      const net = really[ingredient];
      return net === undefined ? undefined : { net: mass(net) };
    });
    const rows = labelOf(more).EU.rows.map(({ name }) => name);
    expect(rows.indexOf('Zea Mays Starch')).toBe(rows.indexOf('Cetearyl Alcohol') - 1);
    expect(labelOf(batch()).basis).toBe('weighed');
  });

  it('what stayed in a cup is not in', () => {
    const residue = mass(1_000_000);
    const { mass: less } = labelOf(
      batch((draw) => (draw.ingredient === 'lactic-acid' ? { net: mass(7_420_000), residue } : undefined)),
    );
    const { mass: all } = labelOf(
      batch((draw) => (draw.ingredient === 'lactic-acid' ? { net: mass(7_420_000) } : undefined)),
    );
    expect((all ?? 0) - (less ?? 0)).toBe(residue);
  });

  it('what stuck to an emptied vessel is not in', () => {
    const { plan, facts } = batch();
    const sticky = facts.map((fact): Fact => {
      const task = fact.kind === 'step-done' && plan.tasks.find(({ id }) => id === fact.step);
      if (!task) return fact;
      if (task.kind !== 'step' || task.step !== 'combine' || task.vessel !== 'powders-tub') return fact;
      const empty = mass(118_200_000);
      const residue = mass(3_000_000);
      const weighedBack = {
        vessel: 'powders-tub',
        scale: 'bench',
        load: mass(empty + residue),
        residue,
        uncertainty: mass(151_000),
      };
      return { ...fact, kind: 'step-done', weighedBack } as Fact;
    });
    const before = labelOf({ plan, facts });
    const after = labelOf({ plan, facts: sticky });
    expect((before.mass ?? 0) - (after.mass ?? 0)).toBe(3_000_000);
    const share = ({ EU }: LabelSheet, name: string) => EU.rows.find((row) => row.name === name)?.ppm ?? 0;
    expect(share(after, 'Tapioca Starch')).toBeLessThan(share(before, 'Tapioca Starch'));
    expect(share(after, 'Cetearyl Alcohol')).toBeGreaterThan(share(before, 'Cetearyl Alcohol'));
  });

  it('a lot that states its own parts and allergens counts by them', () => {
    const { plan, facts } = batch();
    const acid = demo.ingredients.get('lactic-acid');
    const [lot] = acid?.lots ?? [];
    if (!acid || !lot) throw new Error('no lactic acid');
    const own = {
      ...lot,
      madeOf: [{ inci: 'Lactic Acid', ppm: 1_000_000 }],
      allergens: [{ inci: 'Citral', ppm: 500_000 }],
    };
    const ingredients = new Map([...demo.ingredients, ['lactic-acid', { ...acid, lots: [own] }]]);
    const { EU } = sheet(labelOfBatch({ id: 'b', plan }, facts, { ...demo, ingredients }, demoFormula, NOW));
    const share = (name: string) => EU.rows.find((row) => row.name === name)?.ppm ?? 0;
    expect(share('Lactic Acid')).toBeGreaterThan(3_900); // all of 0.4 %, not 80 % of it
    expect(Math.abs(share('Citral') * 2 - share('Lactic Acid'))).toBeLessThanOrEqual(2);
  });

  it('what was stated when it was begun counts, whatever has become of the workshop file', () => {
    const { plan, facts } = batch();
    const stored = readFact(JSON.stringify(facts[0]));
    if (!stored.ok || stored.fact.kind !== 'batch-started') throw new Error('no plan');
    const acid = demo.ingredients.get('lactic-acid');
    if (!acid) throw new Error('no lactic acid');
    const later = { ...acid, inci: 'Acid', madeOf: [{ inci: 'Lactic Acid', ppm: 1_000_000 }] };
    const others = [...demo.ingredients].filter(([id]) => id !== 'tapioca-starch');
    const shop = { ...demo, ingredients: new Map([...others, ['lactic-acid', later]]) };
    const kept = { id: 'b', plan: stored.fact.plan };
    const then = sheet(labelOfBatch(kept, facts, shop, demoFormula));
    expect(then.EU.text).toBe(sheet(labelOfBatch({ id: 'b', plan }, facts, demo, demoFormula)).EU.text);
    expect(then.notes.join('\n')).toMatch(/Lactic acid.*: the workshop file states something else by now/);
    expect(then.notes.join('\n')).not.toMatch(/no longer in the workshop file/);
    const now = sheet(labelOfBatch(kept, facts, shop, demoFormula, NOW));
    expect(now.EU.rows.find(({ name }) => name === 'Lactic Acid')?.ppm).toBeGreaterThan(3_900);
    expect(now.notes.join('\n')).toMatch(/taken from the workshop file as it is today/);
  });

  it('what was not stated then may be stated later', () => {
    const { plan, facts } = batch();
    const bare = plan.materials?.preservative;
    if (!bare) throw new Error('no preservative');
    const materials = { ...plan.materials, preservative: { name: bare.name, inci: bare.inci } };
    const made = labelOfBatch({ id: 'b', plan: { ...plan, materials } }, facts, demo, demoFormula);
    expect(sheet(made).EU.text).toBe(labelOf({ plan, facts }).EU.text);
    expect(sheet(made).notes.join('\n')).toMatch(/was stated after the batch was begun/);
  });

  it('draws that were given up are not in', () => {
    const { plan, facts } = batch();
    const given = [
      ...facts,
      ...sealed([{ kind: 'given-up', vessel: 'mixing-bowl', draws: ['E2'], reason: 'spilt' }], facts.length),
    ];
    expect(stateOf(given).draws.E2?.bowl).toBeNull();
    expect(labelOf({ plan, facts: given }).EU.text).not.toMatch(/Lavandula/);
  });

  it('says in text and JSON the same, and that a qualified person has to check it', () => {
    const label = labelOf(batch());
    const json = labelJson(label);
    const text = printLabel(label, 100);
    expect(text.replace(/\s+/g, ' ')).toContain(json.lists.eu.text);
    expect(text).toMatch(/Net Wt 2\.46 oz \(70 g\)/);
    expect(text.replace(/\s+/g, ' ')).toMatch(
      /no legal advice\. Before you print, have it checked by a qualified person/,
    );
    expect(
      json.lists.eu.rows
        .filter(({ counted }) => counted)
        .reduce((sum, { percent }) => sum + Number(percent.replace('.', '')), 0),
    ).toBe(1_000_000);
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
    for (const line of printLabel(label, 60).split('\n')) expect(line.length).toBeLessThanOrEqual(60);
  });

  it('without the formula it has no limits, and says so; another version is told', () => {
    const { plan, facts } = batch();
    const bare = sheet(labelOfBatch({ id: 'b', plan }, facts, demo, undefined));
    expect([bare.levels, bare.net?.EU]).toEqual([[], '70 g']);
    expect(bare.notes.join('\n')).toMatch(/limits were not looked at/);
    const { label: _label, ...older } = plan;
    const unsaid = sheet(labelOfBatch({ id: 'b', plan: older }, facts, demo, undefined));
    expect(unsaid.net).toBeNull();
    expect(unsaid.notes.join('\n')).toMatch(/taken to stay on the skin/);
    const newer = sheet(labelOfBatch({ id: 'b', plan }, facts, demo, { ...demoFormula, version: '4' }));
    expect(unsaid.EU.rows.filter(({ group }) => group === 'allergen')).toHaveLength(5); // the stricter threshold
    expect(newer.notes.join('\n')).toMatch(/version 4 by now, the batch at 3/);
  });
});

describe('what the formula says for the label of a batch', () => {
  const later = {
    ...demoFormula,
    label: { net: { number: '65', unit: 'g' }, use: 'leave-on', dryingPpm: 90_000 },
  } as const;
  const { plan, facts } = batch();
  const of = (kept: typeof plan, wish = {}) => sheet(labelOfBatch({ id: 'B', plan: kept }, facts, demo, later, wish));

  it('is what it said when the batch was begun, and that it says otherwise by now is told', () => {
    const { net, use, notes } = of(plan);
    expect([net?.EU, use]).toEqual(['70 g', 'rinse-off']);
    expect(notes.join('\n')).toContain(
      'otherwise by now than when the batch was begun (net 65 g, leave-on, dried 9 %)',
    );
  });

  it('is what it says today where that is asked for, or where the plan kept nothing', () => {
    expect(of(plan, NOW)).toMatchObject({ use: 'leave-on', net: { EU: '65 g' } });
    const { label: _label, ...older } = plan;
    const without = of(older);
    expect(without).toMatchObject({ use: 'leave-on', net: { EU: '65 g' } });
    expect(without.notes).toContain('Net weight, use and drying are taken from the formula as it is today.');
    expect(of({ ...plan, label: { use: 'rinse-off' } })).toMatchObject({ use: 'rinse-off', net: { EU: '65 g' } });
  });

  it('stands without the formula', () => {
    const gone = sheet(labelOfBatch({ id: 'B', plan }, facts, demo, undefined));
    expect(gone).toMatchObject({ use: 'rinse-off', net: { EU: '70 g' } });
  });
});
