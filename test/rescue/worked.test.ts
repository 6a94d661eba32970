/**
 * Worked by hand: 82.5 g of butter went in for 75.0 g, 5 % of 24 bars (1500 g, no loss). k = in / target = 1.1000, which
 * is 26.4 bars; with its band of +2 %, k = 82.5 / 76.5 = 1.0784. Left alone it would be 5.47 %. Common practice, no
 * source.
 */
import { describe, expect, it } from 'vitest';
import { drawOf, stateOf } from '../../src/facts/apply.ts';
import { wanted } from '../../src/facts/wanted.ts';
import type { Ceiling } from '../../src/formula/model.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import type { Plan } from '../../src/plan/model.ts';
import { rescuedBy } from '../../src/rescue/accepting.ts';
import { factorOf } from '../../src/rescue/inWords.ts';
import type { Offer, Rescue } from '../../src/rescue/model.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { BATCH_DAY, formulaFrom, planOf, workshopFrom } from '../plan/fixtures.ts';
import { g, sealed } from '../weighing/samplePlan.ts';
import { inBowl, type Nets, walkOn, walkTo } from './walkTo.ts';

interface Changes {
  readonly oilLots?: string;
  readonly bowl?: string;
  readonly bench?: string;
  readonly press?: string;
  readonly oilKeys?: string;
}

function world({ oilLots, bowl, bench, press, oilKeys }: Changes = {}) {
  const workshop = workshopFrom(`
name: Small
operators: [Someone]
scales:
  bench: {capacity: ${bench ?? '5 kg'}, d: 0.1 g, repeatability: 0.05 g, keyed: yes}
  fine: {capacity: 200 g, d: 0.01 g, repeatability: 0.004 g, keyed: yes}
vessels:
  jug: {name: Jug, tare: 300 g, usable: 800 ml}
  bowl: {name: Bowl, tare: 900 g, usable: ${bowl ?? '4 l'}}
  cup: {name: Cup, tare: 30 g, usable: 25 ml}
ingredients:
  wax: {name: Wax, inci: Wax, density: 0.9 g/ml, lots: {W-1: {on hand: 1 kg}}}
  butter: {name: Butter, inci: Butter, density: 0.9 g/ml, lots: {BU-1: {on hand: 1 kg}}}
  base: {name: Base, inci: Base, density: 0.5 g/ml, lots: {BA-1: {on hand: 10 kg}}}
  oil: {name: Oil, inci: Oil, density: 0.9 g/ml, lots: ${oilLots ?? '{OI-1: {on hand: 100 g}}'}}
`);
  const formula = formulaFrom(
    `
name: Bar
version: 1
bar: 62.5 g
bars: 24
phases:
  - phase: A
    name: Melt
    vessel: jug
    work:
      - {draw: wax, share: 10 %, band: 2 %}
      - {draw: butter, share: 5 %, band: 2 %}
      - {melt: Melt it., for: 30 s, times: 4, cautions: [Hot.]}
  - phase: B
    name: Bulk
    vessel: bowl
    work:
      - {draw: base, share: 84 %, band: 1 %}
      - {combine: Pour in the melt., vessel: jug, into: bowl}
      - {mix: Knead.}
      - {draw: oil, share: 1 %, ${oilKeys ?? 'band: 2 %, over: never'}}
      - {${press ?? 'mix'}: Into the moulds.}
`,
    workshop,
  );
  return { workshop, formula, plan: planOf(workshop, formula) };
}

type World = ReturnType<typeof world>;

function rescue(
  { workshop, formula, plan }: World,
  draw: string,
  net: Mass,
  nets?: Nets,
  limits: Ceiling[] = [],
): Rescue {
  const { state, facts } = walkTo(plan, draw, net, nets);
  const used = stockUsed(facts, workshop);
  return planRescue({ workshop, formula: { ...formula, limits }, state, held: { draw, net }, used, today: BATCH_DAY });
}

function offer({ offers, refused }: Rescue, meant: Offer['meant'], wholeBars: boolean): Offer {
  const found = offers.find((each) => each.meant === meant && each.wholeBars === wholeBars);
  if (!found) throw new Error(refused.map(({ say }) => say).join('\n'));
  return found;
}

/** Targets of a plan by line, parts added up. */
function targets({ tasks }: Plan): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const task of tasks) {
    if (task.kind !== 'draw') continue;
    const line = task.part?.group ?? task.id;
    sums[line] = (sums[line] ?? 0) + task.target;
  }
  return sums;
}

describe('butter, 82.5 g for 75.0 g', () => {
  const found = rescue(world(), 'A2', g(82.5));

  it('exactly: 1.1000 times, 1650 g, 26.4 bars', () => {
    const { mass: size, bars, extra, from, setBy } = offer(found, 'exact', false);
    expect(size).toBe(1_650_000_000);
    expect(factorOf(size, from.mass)).toBe('1.1000');
    expect([bars, size / 62_500_000, extra, setBy]).toEqual([26, 26.4, 150_000_000, 'Butter']);
  });

  it('within its band: 1.0784 times, and not a microgram less', () => {
    const { mass: size, from, leftAlone } = offer(found, 'within bands', false);
    expect(factorOf(size, from.mass)).toBe('1.0785'); // 1.07843..., rounded to the safe side
    // A share of 80.882353 g: with a microgram less its band would end below 82.5 g.
    expect(size).toBe(80_882_353 * 20);
    expect(Math.floor(80_882_353 * 1.02)).toBeGreaterThanOrEqual(82_500_000);
    expect(Math.floor(80_882_352 * 1.02)).toBeLessThan(82_500_000);
    expect(leftAlone).toMatchObject([{ draw: 'A2', amount: 82_500_000, high: 82_500_000 }]);
  });

  it('in whole bars: 26 within the band, 27 exactly', () => {
    expect(found.offers.filter(({ wholeBars }) => wholeBars).map(({ meant, bars }) => [meant, bars])).toEqual([
      ['within bands', 26],
      ['exact', 27],
    ]);
  });

  it('tops up what is in, and gives the rest new targets', () => {
    const { topUps, raised, plan } = offer(found, 'exact', false);
    expect(topUps).toMatchObject([
      { draw: 'A1.2', amount: 15_000_000, lot: 'W-1', vessel: 'jug', lotLeft: 835_000_000 },
    ]);
    // The band of the whole, 165 g +-2 % on a scale of 0.1 g: 161.7 to 168.3; 150 g are in.
    expect(topUps).toMatchObject([{ low: 11_700_000, high: 18_300_000 }]);
    expect(raised.map(({ draw, to }) => [draw, to])).toEqual([
      ['B1', 1_386_000_000],
      ['B2', 16_500_000],
    ]);
    expect(targets(plan)).toEqual({ A1: 165_000_000, A2: 82_500_000, B1: 1_386_000_000, B2: 16_500_000 });
    expect(plan.tasks.map(({ id }) => id)).toEqual(['A1', 'A2', 'A1.2', 'A/1', 'B1', 'B/1', 'B/2', 'B2', 'B/3']);
  });

  it('says it in one line', () => {
    expect(offer(found, 'within bands', true).say).toBe(
      'Scale up: 26 bars instead of 24 (every ingredient within its band); top up one ingredient, 125.0 g more in all, 12.5 g more of lot W-1, new targets for two.',
    );
  });
});

describe('what people get wrong', () => {
  it('two overs need the larger factor, not the product', () => {
    const kept: Nets = (draw) => (draw.id === 'A1' ? { net: g(159) } : undefined); // 1.06 of 150 g
    const both = rescue(world(), 'A2', g(82.5), kept);
    expect(offer(both, 'exact', false).mass).toBe(1_650_000_000);
    expect(offer(both, 'exact', false).topUps).toMatchObject([{ draw: 'A1.2', amount: 6_000_000 }]);
    const other = rescue(world(), 'A2', g(77), kept);
    expect(offer(other, 'exact', false)).toMatchObject({ mass: 1_590_000_000, setBy: 'Wax' });
  });

  it('an under-pour is topped up, never used to balance', () => {
    const short: Nets = (draw) => (draw.id === 'A1' ? { net: g(140) } : undefined);
    expect(offer(rescue(world(), 'A2', g(82.5), short), 'exact', false).topUps).toMatchObject([
      { draw: 'A1.2', amount: 25_000_000 },
    ]);
  });

  it('what is held and grows past its own share in whole bars is simply poured on', () => {
    const { plan, leftAlone } = offer(rescue(world(), 'A2', g(82.5)), 'exact', true);
    // 27 bars: 84.375 g of butter, 82.7 to 86.0; 82.5 g are on the pan.
    expect(plan.tasks.find(({ id }) => id === 'A2')).toMatchObject({ target: 84_375_000, low: 82_700_000, part: null });
    expect(leftAlone).toEqual([]);
  });

  it('nothing is scaled up that is not too much', () => {
    expect(rescue(world(), 'A2', g(75))).toMatchObject({
      offers: [],
      refused: [{ say: 'No scale-up, because: Nothing that is in is too much for the batch as it is.' }],
    });
  });
});

describe('after the phases are combined', () => {
  it('top-ups go into the vessel that holds the content now, and are kneaded in once more', () => {
    const { topUps, plan } = offer(rescue(world(), 'B2', g(16)), 'exact', false);
    expect(topUps.map(({ draw, vessel }) => [draw, vessel])).toEqual([
      ['A1.2', 'bowl'],
      ['A2.2', 'bowl'],
      ['B1.2', 'bowl'],
    ]);
    expect(plan.tasks.map(({ id }) => id).slice(-6)).toEqual(['B2', 'A1.2', 'A2.2', 'B1.2', 'B/2.2', 'B/3']);
    expect(plan.tasks.find(({ id }) => id === 'A1.2')).toMatchObject({
      cautions: ['Hot.'],
      note: expect.stringContaining('melt this apart'),
    });
  });

  it('what stuck to the emptied jug is not in the batch, and is made up for', () => {
    const { workshop, formula, plan } = world();
    const before = walkTo(plan, 'B/1', null);
    // 150 g of wax and 75 g of butter were in the jug; 3 g stick to it: 2 g and 1 g.
    const back = { vessel: 'jug', scale: 'bench', load: g(303), residue: g(3), uncertainty: g(0.2) };
    const poured = sealed([{ kind: 'step-done', step: 'B/1', bursts: 0, weighedBack: back }], before.facts.length);
    const come = walkOn([...before.facts, ...poured], 'B2', g(16.5));
    const held = { draw: 'B2', net: g(16.5) };
    const input = { workshop, formula, state: come.state, held, used: stockUsed(come.facts, workshop) };
    const exact = offer(planRescue({ ...input, today: BATCH_DAY }), 'exact', false);
    expect(exact.topUps).toMatchObject([
      { draw: 'A1.2', amount: g(17) },
      { draw: 'A2.2', amount: g(8.5) },
      { draw: 'B1.2', amount: g(126) },
    ]);
    const state = stateOf([...come.facts, ...sealed([rescuedBy(exact, held)], come.facts.length)]);
    for (const { draw, amount, low, high } of exact.topUps) {
      const task = drawOf(state, draw);
      expect(task && wanted(state, task)).toEqual({ target: amount, low, high });
    }
  });

  it('after melting, what is topped up is melted again', () => {
    const { plan } = offer(rescue(world(), 'B1', g(1300)), 'exact', false);
    expect(plan.tasks.map(({ id }) => id)).toEqual([
      'A1',
      'A2',
      'A/1',
      'B1',
      'A1.2',
      'A2.2',
      'A/1.2',
      'B/1',
      'B/2',
      'B2',
      'B/3',
    ]);
    expect(plan.tasks.find(({ id }) => id === 'A/1.2')).toMatchObject({ step: 'melt', forMs: 30_000, times: 4 });
  });

  it('not after the press', () => {
    const { workshop, formula, plan } = world({ press: 'press' });
    const kept: Nets = (draw) => (draw.id === 'B2' ? { net: g(18) } : undefined);
    const { state, facts } = walkTo(plan, 'none', null, kept);
    const used = stockUsed(facts, workshop);
    const found = planRescue({ workshop, formula, state, held: null, used, today: BATCH_DAY });
    expect(found.offers).toEqual([]);
    expect(found.refused[0]?.say).toContain('has been pressed');
  });
});

describe('limits', () => {
  const why = (found: Rescue) =>
    found.refused.map(({ meant, wholeBars, say }) => `${meant}${wholeBars ? ' bars' : ''}: ${say}`);

  it('stock: the lots in date, with what is used off', () => {
    // 16.5 g of oil would be needed for 1650 g.
    const found = rescue(
      world({ oilLots: '{OI-1: {on hand: 16.3 g}, OI-0: {on hand: 90 g, expires: 2026-11-24}}' }),
      'A2',
      g(82.5),
    );
    expect(found.offers.map(({ meant, wholeBars }) => [meant, wholeBars])).toEqual([
      ['within bands', false],
      ['within bands', true],
    ]);
    expect(why(found)[0]).toContain(
      'Oil: 16.500 g are needed, and the lots in date are 0.200 g short (expired: OI-0).',
    );
  });

  it('stock: a top-up from the next lot', () => {
    const lots = '{OI-1: {on hand: 15.5 g, expires: 2027-01-01}, OI-2: {on hand: 50 g}}';
    const { workshop, formula, plan } = world({ oilLots: lots });
    const kept: Nets = (draw) => (draw.id === 'A2' ? { net: g(82.5) } : undefined);
    const { state, facts } = walkTo(plan, 'B/3', null, kept);
    const used = stockUsed(facts, workshop);
    const found = planRescue({ workshop, formula, state, held: null, used, today: BATCH_DAY });
    const oil = offer(found, 'exact', false).topUps.find(({ ingredient }) => ingredient === 'oil');
    expect(oil).toMatchObject({ amount: 1_500_000, lot: 'OI-2', scale: 'fine', way: 'cup', lotLeft: 48_500_000 });
  });

  it('room in the vessel', () => {
    // Base 1260 g + 1 % at 0.5 g/ml, 151 ml of wax, 85 ml of butter, and oil: 2797 ml for 24 bars.
    expect(why(rescue(world({ bowl: '2850 ml' }), 'A2', g(82.5))).join('\n')).toMatch(
      /exact: No scale-up .*Bowl holds 2850 ml/,
    );
  });

  it('what the scale carries', () => {
    // 900 g of bowl and 1272.6 g of base; for 1650 g it is 900 + 1399.8.
    const found = rescue(world({ bench: '2250 g' }), 'A2', g(82.5));
    expect(found.offers).toEqual([]);
    expect(why(found).join('\n')).toContain('the bench scale takes 2250 g, and Bowl would weigh up to 2272.');
  });

  it('the highest level of an ingredient makes the batch larger, as far as it must', () => {
    const ceiling = { ingredients: ['butter'], ppm: 50_500, dryingPpm: 0, why: 'kills lather' };
    const { mass: size } = offer(rescue(world(), 'A2', g(82.5), undefined, [ceiling]), 'within bands', false);
    const least = 82_500_000 / 0.0505;
    expect(size).toBeGreaterThanOrEqual(least);
    expect(size).toBeLessThan(least + 1_500_000); // steps of a thousandth of the batch
  });

  it('the highest level of what an ingredient is made of does the same', () => {
    const own = world();
    const butter = own.workshop.ingredients.get('butter');
    if (!butter) throw new Error('no butter');
    const madeOf = [
      { of: 'fat', ppm: 500_000 },
      { inci: 'Milk', ppm: 500_000 },
    ];
    const ingredients = new Map(own.workshop.ingredients).set('butter', { ...butter, madeOf });
    const half = { ingredients: ['fat'], ppm: 25_250, dryingPpm: 0, why: 'kills lather' };
    const whole = { ingredients: ['butter'], ppm: 50_500, dryingPpm: 0, why: 'kills lather' };
    const sizeBy = (world: World, limit: Ceiling) =>
      offer(rescue(world, 'A2', g(82.5), undefined, [limit]), 'within bands', false).mass;
    expect(sizeBy({ ...own, workshop: { ...own.workshop, ingredients } }, half)).toBe(sizeBy(own, whole));
    expect(sizeBy(own, whole)).toBeGreaterThan(sizeBy(own, { ...whole, ppm: 1_000_000 }));
  });

  it('a level on the dried base is told in numbers', () => {
    const ceiling = { ingredients: ['oil'], ppm: 10_400, dryingPpm: 45_000, why: 'the safety assessment' };
    // 1 % as weighed is 1.0471 % once 4.5 % are dried off.
    expect(why(rescue(world(), 'A2', g(82.5), undefined, [ceiling]))[0]).toContain(
      'would be 1.05 % of the batch once dried, and 1.04 % is the most (the safety assessment).',
    );
  });

  it('a top-up too small for any scale: the next larger size that can be weighed', () => {
    const kept: Nets = (draw) =>
      draw.id === 'B2' ? { net: g(15.3) } : draw.id === 'A1' ? { net: g(147.0) } : undefined;
    const { workshop, formula, plan } = world({ oilKeys: 'band: 1 %' });
    const { state, facts } = walkTo(plan, 'B/3', null, kept);
    const used = stockUsed(facts, workshop);
    const found = planRescue({ workshop, formula, state, held: null, used, today: BATCH_DAY });
    for (const { topUps } of found.offers) {
      for (const { low, high, scale } of topUps) {
        expect(low).toBeGreaterThanOrEqual(scale === 'bench' ? 100_000 : 10_000);
        expect(high).toBeGreaterThanOrEqual(low);
      }
    }
    expect(found.offers.length).toBeGreaterThan(0);
  });

  it('a formula that has changed since is no basis', () => {
    const { workshop, plan, formula } = world();
    const doubled = (share: number) => ({
      ...formula,
      phases: formula.phases.map((phase) => ({
        ...phase,
        work: phase.work.map((item) => (item.kind === 'draw' && item.ingredient === 'wax' ? { ...item, share } : item)),
      })),
    });
    const swapped = doubled(90_000);
    const { state } = walkTo(plan, 'A2', g(82.5));
    const found = planRescue({
      workshop,
      formula: swapped,
      state,
      held: { draw: 'A2', net: g(82.5) },
      used: new Map(),
      today: BATCH_DAY,
    });
    expect(found.refused[0]?.say).toContain('has changed since');
  });
});

describe('once the maker has said yes', () => {
  it.each(['exact', 'within bands'] as const)('the batch is walked to its end and comes out right: %s', (meant) => {
    for (const wholeBars of meant === 'exact' ? [false, true] : [false]) {
      const { workshop, formula, plan } = world();
      const net = g(16);
      const come = walkTo(plan, 'B2', net);
      const held = { draw: 'B2', net };
      const input = {
        workshop,
        formula,
        state: come.state,
        held,
        used: stockUsed(come.facts, workshop),
        today: BATCH_DAY,
      };
      const chosen = offer(planRescue(input), meant, wholeBars);
      const facts = [...come.facts, ...sealed([rescuedBy(chosen, held)], come.facts.length)];
      const goesOn = chosen.raised.some(({ draw }) => draw === 'B2');
      const nets: Nets = (draw) => (draw.id === 'B2' && !goesOn ? { net } : undefined);
      const { state } = walkOn(facts, null, null, nets);
      expect(Object.values(state.draws).every(({ status }) => status === 'done')).toBe(true);
      expect(Object.values(state.steps).every(({ done }) => done)).toBe(true);
      for (const [line, amount] of inBowl(state)) {
        const share = formula.phases.flatMap(({ id, work }) => {
          const draws = work.filter((item) => item.kind === 'draw');
          return draws.flatMap((item, index) => (`${id}${index + 1}` === line ? [item.share] : []));
        })[0];
        expect(Math.abs(amount / chosen.mass / ((share ?? 0) / 1e6) - 1)).toBeLessThan(
          meant === 'exact' ? 0.004 : 0.0201,
        );
      }
      expect(stateOf(facts).plan).toEqual(chosen.plan);
      expect(mass(Object.values(targets(chosen.plan)).reduce((sum, each) => sum + each, 0))).toBe(chosen.mass);
    }
  });
});
