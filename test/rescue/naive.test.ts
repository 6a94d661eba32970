import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Meant, Offer, Rescue, RescueInput } from '../../src/rescue/model.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { type NaiveFound, naiveOver, naiveSearch } from './naive.ts';
import { randomBatch } from './randomBatch.ts';

/** Every microgram, up to twice the batch: a thousandth of so small a batch is less than one. */
function* everySize({ state }: RescueInput): Generator<number> {
  for (let size = state.plan.mass + 1; size <= 2 * state.plan.mass; size++) yield size;
}

/** Whole bars, each divided by what the loss leaves. */
function* barSizes({ state, formula }: RescueInput): Generator<number> {
  for (let bars = state.plan.bars ?? 0; ; bars++) {
    const exact = new Decimal(bars)
      .mul(formula.bar ?? 0)
      .mul(1e6)
      .div(1e6 - formula.lossPpm);
    const size = exact.toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN).toNumber();
    if (size > 2 * state.plan.mass) return;
    if (size > state.plan.mass) yield size;
  }
}

/** What the planner says for one question; an offer that another stands for counts too. */
function said({ offers }: Rescue, meant: Meant, wholeBars: boolean): Offer | undefined {
  return offers.find((each) => each.meant === meant && each.wholeBars === wholeBars);
}

function addedTo({ topUps, plan }: Offer): Map<string, number> {
  const sums = new Map<string, number>();
  for (const { draw, amount } of topUps) {
    const task = plan.tasks.find(({ id }) => id === draw);
    const line = task?.kind === 'draw' ? (task.part?.group ?? task.id) : '';
    sums.set(line, (sums.get(line) ?? 0) + amount);
  }
  return sums;
}

function agree(input: RescueInput, count: (what: string) => void): void {
  const found = planRescue(input);
  if (found.refused[0]?.mass === null) {
    expect(naiveOver(input)).toBe(false);
    count('nothing is too much');
    return;
  }
  const kinds = input.state.plan.bars === null ? [false] : [false, true];
  for (const wholeBars of kinds) {
    for (const meant of ['exact', 'within bands'] as const) {
      const naive: NaiveFound | null = naiveSearch(input, meant, wholeBars ? barSizes(input) : everySize(input));
      const ours = said(found, meant, wholeBars);
      if (naive === null) {
        expect(ours).toBeUndefined();
        expect(found.refused.some((each) => each.meant === meant && each.wholeBars === wholeBars)).toBe(true);
        count(`${meant}: no`);
      } else if (ours === undefined) {
        expect(found.offers.map(({ mass }) => mass)).toContain(naive.mass); // the same work under another heading
        count(`${meant}: same work`);
      } else {
        expect(ours.mass).toBe(naive.mass);
        expect(addedTo(ours)).toEqual(naive.topUps);
        count(`${meant}: yes${ours.topUps.length > 0 ? ', topped up' : ''}`);
      }
    }
  }
}

const RUNS = Number(process.env.RESCUE_RUNS ?? 100);
/** The short form walks the same batches each time; `npm run rescues` fresh ones, or those of SEED, for as long as it takes. */
const SEED = process.env.RESCUE_RUNS ? Number(process.env.SEED ?? Date.now() % 2 ** 31) : 20_261_125;
const LONGEST_MS = process.env.RESCUE_RUNS ? 0 : 600_000;

test(
  'the planner agrees with trying every size by every rule, over random batches (seed is printed on failure)',
  () => {
    const counts = new Map<string, number>();
    const count = (what: string) => counts.set(what, (counts.get(what) ?? 0) + 1);
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        agree(randomBatch(seed), count);
      }),
      { numRuns: RUNS, endOnFailure: true, seed: SEED },
    );
    if (process.env.RESCUE_RUNS) console.info({ seed: SEED, ...Object.fromEntries(counts) });
    // All kinds of answers came up.
    for (const meant of ['exact', 'within bands']) {
      for (const kind of ['no', 'yes', 'yes, topped up'])
        expect(counts.get(`${meant}: ${kind}`), kind).toBeGreaterThan(10);
    }
  },
  LONGEST_MS,
);

test('one cup that the scale just carries up to the top of its band, not to that of its tolerance', () => {
  agree(randomBatch(1_821_546_127), () => {});
});
