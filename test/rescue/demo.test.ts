/** Every draw of the demo batch poured over by a tenth: row by row, against plain arithmetic and the plain search. */
import { Decimal } from 'decimal.js';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import type { RescueInput } from '../../src/rescue/model.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { BATCH_DAY, demo, demoFormula, drawsOf, planOf } from '../plan/fixtures.ts';
import { naiveTry } from './naive.ts';
import { walkTo } from './walkTo.ts';

const plan = planOf(demo, demoFormula);
const shares = demoFormula.phases.flatMap(({ id, work }) =>
  work
    .flatMap((item) => (item.kind === 'draw' ? [item] : []))
    .map((item, index) => [`${id}${index + 1}`, item.share] as const),
);

function overBy(id: string, factor: number): RescueInput {
  const draw = drawsOf(plan).find((each) => each.id === id);
  const d = draw && plan.scales[draw.scale]?.d;
  if (!draw || !d) throw new Error(id);
  // For a draw out of two lots, the whole is over by as much.
  const whole = draw.part?.target ?? draw.target;
  const net = mass(Math.round((draw.target + whole * (factor - 1)) / d) * d);
  const { state, facts } = walkTo(plan, id, net);
  const used = stockUsed(facts, demo);
  return { workshop: demo, formula: demoFormula, state, held: { draw: id, net }, used, today: BATCH_DAY };
}

/** All that is in of a line, the held weight included. */
function isIn({ state, held }: RescueInput, line: string): number {
  return drawsOf(state.plan)
    .filter((draw) => (draw.part?.group ?? draw.id) === line)
    .reduce((sum, { id }) => sum + (held?.draw === id ? held.net : (state.draws[id]?.bowl ?? 0)), 0);
}

// The sulfoacetate comes out of two lots: while the first is poured, the whole of it can't be too much.
const rows = drawsOf(plan).filter(({ id }) => id !== 'D1.1');

describe.each(rows.map(({ id, name }) => [id, name] as const))('%s %s, a tenth too much', (id) => {
  const input = overBy(id, 1.1);
  const { offers, refused } = planRescue(input);

  it('exactly: the largest of in / share', () => {
    const exact = offers.find(({ meant, wholeBars }) => meant === 'exact' && !wholeBars);
    const least = Decimal.max(
      ...shares.map(([line, share]) => new Decimal(isIn(input, line)).mul(1e6).div(share).ceil()),
    ).toNumber();
    if (exact) {
      expect(exact.mass).toBe(least);
      expect(naiveTry(input, exact.mass, 'exact')).not.toBeNull();
      expect(naiveTry(input, exact.mass - 1, 'exact')).toBeNull();
    } else {
      expect(naiveTry(input, least, 'exact')).toBeNull();
      expect(refused.some(({ meant, wholeBars }) => meant === 'exact' && !wholeBars)).toBe(true);
    }
  });

  it('within bands: not a microgram less will do', () => {
    const within = offers.find(({ meant, wholeBars }) => meant === 'within bands' && !wholeBars);
    expect(within).toBeDefined();
    const size = within?.mass ?? 0;
    expect(naiveTry(input, size, 'within bands')).not.toBeNull();
    expect(naiveTry(input, size - 1, 'within bands')).toBeNull();
    expect(naiveTry(input, size - 1_000_000, 'within bands')).toBeNull();
  });

  it('in whole bars: the same as trying them one by one', () => {
    for (const meant of ['exact', 'within bands'] as const) {
      const found = [25, 26, 27, 28, 29, 30].find((bars) => {
        const size = new Decimal(bars).mul(75e6).div('0.97').toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN).toNumber();
        return naiveTry(input, size, meant) !== null;
      });
      const ours = offers.find((each) => each.wholeBars && each.bars === found);
      expect([meant, ours?.bars]).toEqual([meant, found]);
    }
  });
});

describe('told to the maker', () => {
  it('26 bars instead of 24, six ingredients', () => {
    const { offers } = planRescue(overBy('B2', 1.08));
    expect(offers.find(({ bars, wholeBars }) => wholeBars && bars === 26)?.say).toBe(
      'Scale up: 26 bars instead of 24 (every ingredient in its exact share); top up six ingredients, 154.6 g more in all, the most: 7.7 g more of lot CA-2207, new targets for 14.',
    );
  });

  it('no, because the beaker is too small', () => {
    const { offers, refused } = planRescue(overBy('B5', 1.3));
    expect(offers).toEqual([]);
    expect(refused.map(({ say }) => say)[0]).toMatch(
      /^No scale-up with every ingredient in its exact share \(at least 1\.3\d+ times the batch\), because: Liquids beaker, glass holds 320 ml, and \d+ ml would be in it\./,
    );
  });
});
