/** Draws that the plan splits: several jugs, several cups. They go through the chart as any other draw in parts. */
import { describe, expect, it } from 'vitest';
import { contentOf } from '../../src/facts/combine.ts';
import { planSchema } from '../../src/facts/readPlan.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import {
  BATCH_DAY,
  drawsOf,
  formulaFrom,
  planOf,
  smallFormula,
  smallWorkshop,
  workshopFrom,
} from '../plan/fixtures.ts';
import { recheck } from '../plan/recheck.ts';
import { walkTo } from '../rescue/walkTo.ts';
import { pan, startChart, yes } from './chartRig.ts';
import { g } from './samplePlan.ts';

/** The wet side of the second demo scenario: water for a glaze, and the bucket that grows too heavy for the scale. */
const workshop = workshopFrom(`
name: Glaze bench
operators: [Someone]
scales:
  bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}
vessels:
  tub: {name: Dry tub, tare: 780 g, usable: 4.2 l}
  bucket: {name: Bucket, tare: 412 g, usable: 8 l}
  jug: {name: Water jug, tare: 640 g, usable: 1.8 l, count: 2}
  cup: {name: Cup, tare: 30 g, usable: 25 ml}
ingredients:
  water: {name: Water, inci: Aqua, density: 1.00 g/ml, lots: {W-1: {on hand: 20 kg}}}
  dry: {name: Dry mix, inci: Minerals, density: 0.75 g/ml, lots: {M-1: {on hand: 20 kg}}}
`);
const formula = formulaFrom(
  `
name: Harbour fog, wet
version: 1
batch: 4862.5 g
phases:
  - phase: A
    name: Water
    vessel: jug
    work:
      - {draw: water, share: 45.2442 %, band: 1 %}
      - {combine: Pour the water into the bucket., vessel: jug, into: bucket}
  - phase: B
    name: Dry
    vessel: tub
    work:
      - {draw: dry, share: 54.7558 %, band: 1 %}
      - {combine: Sieve the powder onto the water., vessel: tub, into: bucket}
      - {sum: Weigh the bucket., vessel: bucket}
`,
  workshop,
);
const plan = planOf(workshop, formula);

describe('2200 g of water in jugs of 1.8 l', () => {
  it('two jugs, half in each; both go into the bucket', () => {
    const [first, second] = drawsOf(plan);
    expect([first, second]).toMatchObject([
      { id: 'A1.1', vessel: 'jug', on: 'jug', way: 'add', part: { index: 1, of: 2 } },
      { id: 'A1.2', vessel: 'jug+2', on: 'jug+2', way: 'add', part: { index: 2, of: 2 } },
    ]);
    expect(Math.abs((first?.target ?? 0) - (second?.target ?? 0))).toBeLessThanOrEqual(1);
    expect((first?.target ?? 0) + (second?.target ?? 0)).toBe(first?.part?.target);
    expect(plan.vessels['jug+2']).toMatchObject({ name: 'second Water jug', tare: 640_000_000 });
    expect(plan.notes.join(' ')).toContain('1100.000 g in Water jug, 1100.000 g in second Water jug');
    expect(planSchema.parse(JSON.parse(JSON.stringify(plan)))).toEqual(plan);
    expect(recheck(workshop, formula, plan)).toEqual([]);
  });

  it('the filled bucket, 5274.5 g on a scale of 5 kg, is never asked for on the pan', () => {
    expect(plan.tasks.filter((task) => task.kind === 'step' && task.step === 'sum')).toEqual([]);
    expect(plan.tasks.filter((task) => task.kind === 'draw' && task.on === 'bucket')).toEqual([]);
    expect(plan.notes.join(' ')).toMatch(/Bucket would weigh up to 53\d\d\.\d g, more than any scale takes/);
  });

  it('goes through the chart: what the first jug has too little, the second makes up', async () => {
    const rig = await startChart([], plan);
    await rig.tell(yes, pan.empties('bench'), pan.settles('bench', 640), pan.dwells('bench', 640));
    await rig.tell(pan.moves('bench'), pan.settles('bench', 1735), pan.dwells('bench', 1735));
    expect(rig.written).toMatchObject([
      { kind: 'gathered' },
      { kind: 'placed', draw: 'A1.1' },
      { kind: 'weighed', draw: 'A1.1', net: 1_095_000_000 },
    ]);
    await rig.tell(pan.moves('bench'), pan.empties('bench'), pan.settles('bench', 642), pan.dwells('bench', 642));
    const second = rig.snapshot.context.batch.plan.tasks[1];
    if (second?.kind !== 'draw') throw new Error('no second part');
    expect(wanted(rig.snapshot.context.batch, second).target / 1_000_000).toBeCloseTo(2200 - 1095, 1);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 1747), pan.dwells('bench', 1747));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', draw: 'A1.2', net: 1_105_000_000 });
    await rig.tell(pan.moves('bench'), pan.empties('bench'), yes);
    const { batch } = rig.snapshot.context;
    expect(contentOf(batch, 'bucket')).toBe(2_200_000_000);
    expect(contentOf(batch, 'jug+2')).toBe(0);
  });
});

describe('too much in the second jug', () => {
  it('is rescued like any other draw: the rest grows, and what is in both jugs stays', () => {
    const net = g(1_180);
    const { state, facts } = walkTo(plan, 'A1.2', net);
    const held = { draw: 'A1.2', net };
    const input = { workshop, formula, state, held, used: stockUsed(facts, workshop), today: BATCH_DAY };
    const { offers } = planRescue(input);
    const exact = offers.find(({ meant }) => meant === 'exact');
    // 1100 g in the first and 1180 g in the second are 45.2442 % of 5039.3 g.
    expect((exact?.mass ?? 0) / 1_000_000).toBeCloseTo(2_280 / 0.452442, 0);
    expect(drawsOf(exact?.plan ?? plan).map(({ id, vessel }) => [id, vessel])).toEqual([
      ['A1.1', 'jug'],
      ['A1.2', 'jug+2'],
      ['B1', 'tub'],
    ]);
  });
});

describe('20 g of dye that must never be over, in a cup of 25 ml', () => {
  const shop = smallWorkshop({ lots: '{D-1: {on hand: 5 kg}}' });
  const planned = planOf(shop, smallFormula(shop, 2, 'band: 5 %, over: never'));

  it('the same cup twice, tipped and weighed back in between; what clung to it the second makes up', async () => {
    const dye = drawsOf(planned).filter(({ ingredient }) => ingredient === 'dye');
    expect(dye.map(({ id, on, way }) => [id, on, way])).toEqual([
      ['A2.1', 'cup', 'cup'],
      ['A2.2', 'cup', 'cup'],
    ]);
    const rig = await startChart([], planned);
    const { tell } = rig;
    await tell(yes, pan.empties('bench'), pan.empties('fine'), pan.settles('bench', 900), pan.dwells('bench', 900));
    await tell(pan.moves('bench'), pan.settles('bench', 1880), pan.dwells('bench', 1880));
    await tell(pan.moves('bench'), pan.empties('bench'), pan.settles('fine', 30), pan.dwells('fine', 30));
    await tell(pan.moves('fine'), pan.settles('fine', 39.8), pan.dwells('fine', 39.8), pan.moves('fine'));
    await tell(pan.empties('fine'), pan.settles('fine', 30.05), pan.dwells('fine', 30.05));
    // The cup stands there with what clung to it: the second part begins from that.
    expect(rig.written.slice(-3)).toMatchObject([
      { kind: 'weighed', draw: 'A2.1', net: g(9.8) },
      { kind: 'tipped', draw: 'A2.1', vessel: 'bowl', residue: g(0.05) },
      { kind: 'placed', draw: 'A2.2', vessel: 'cup', load: g(30.05) },
    ]);
    const { batch } = rig.snapshot.context;
    const second = batch.plan.tasks.find(({ id }) => id === 'A2.2');
    if (second?.kind !== 'draw') throw new Error('no second part');
    expect(wanted(batch, second)).toMatchObject({ target: g(20 - 9.75), low: g(19 - 9.75), high: g(21 - 9.75) });
    await tell(pan.moves('fine'), pan.settles('fine', 40.25), pan.dwells('fine', 40.25), pan.moves('fine'));
    await tell(pan.empties('fine'), pan.settles('fine', 30.05), pan.dwells('fine', 30.05));
    expect(rig.written.slice(-3)).toMatchObject([
      { kind: 'weighed', draw: 'A2.2', net: g(10.2) },
      { kind: 'tipped', draw: 'A2.2', residue: 0 },
      { kind: 'finished' },
    ]);
    expect(contentOf(rig.snapshot.context.batch, 'bowl')).toBe(g(980 + 9.75 + 10.2));
  });
});
