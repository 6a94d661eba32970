import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import { checkFact } from '../../src/facts/readFact.ts';
import { mass } from '../../src/mass/mass.ts';
import type { Plan } from '../../src/plan/model.ts';
import { rescuedBy } from '../../src/rescue/accepting.ts';
import type { Offer, RescueInput } from '../../src/rescue/model.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { BATCH, sealed } from '../weighing/samplePlan.ts';
import { band } from './naive.ts';
import { randomBatch } from './randomBatch.ts';
import { inBowl } from './walkTo.ts';

vi.setConfig({ testTimeout: 120_000 });

const RUNS = { numRuns: 16 };

/** Every offer of a random batch. */
function forEveryOffer(check: (offer: Offer, input: RescueInput) => void): void {
  let seen = 0;
  fc.assert(
    fc.property(fc.nat(), (seed) => {
      const input = randomBatch(seed);
      for (const offer of planRescue(input).offers) {
        seen += 1;
        check(offer, input);
      }
    }),
    RUNS,
  );
  expect(seen).toBeGreaterThan(RUNS.numRuns);
}

function targetsByLine({ tasks }: Plan): Map<string, number> {
  const sums = new Map<string, number>();
  for (const task of tasks) {
    if (task.kind !== 'draw') continue;
    const line = task.part?.group ?? task.id;
    sums.set(line, (sums.get(line) ?? 0) + task.target);
  }
  return sums;
}

function sharesByLine({ formula }: RescueInput): Map<string, number> {
  return new Map(
    formula.phases.flatMap(({ id, work }) =>
      work
        .flatMap((item) => (item.kind === 'draw' ? [item] : []))
        .map((item, index) => [`${id}${index + 1}`, item.share] as const),
    ),
  );
}

/** What is in by line, the held weight included. */
function isIn({ state, held }: RescueInput): Map<string, number> {
  const sums = new Map<string, number>(inBowl(state));
  const task = state.plan.tasks.find(({ id }) => id === held?.draw);
  if (task?.kind !== 'draw' || !held) return sums;
  const line = task.part?.group ?? task.id;
  return sums.set(line, (sums.get(line) ?? 0) + held.net);
}

test('every target is its exact share to the microgram, and all add up to the batch', () => {
  forEveryOffer(({ plan, mass: size }, input) => {
    const targets = targetsByLine(plan);
    expect([...targets.values()].reduce((sum, each) => sum + each, 0)).toBe(size);
    for (const [line, share] of sharesByLine(input)) {
      // |target - size share / 10^6| < 1 microgram, in whole numbers.
      const off = BigInt(targets.get(line) ?? 0) * 1_000_000n - BigInt(size) * BigInt(share);
      expect(off < 1_000_000n && off > -1_000_000n, line).toBe(true);
    }
  });
});

test('no target gets smaller, and the batch gets larger', () => {
  forEveryOffer(({ plan, mass: size, from, extra }, { state }) => {
    expect(size).toBeGreaterThan(from.mass);
    expect(extra).toBe(size - state.plan.mass);
    const before = targetsByLine(state.plan);
    for (const [line, target] of targetsByLine(plan))
      expect(target, line).toBeGreaterThanOrEqual(before.get(line) ?? 0);
  });
});

test('nothing that is in is above its new band; exactly: nor above its share', () => {
  forEveryOffer(({ meant, mass: size, plan, leftAlone }, input) => {
    const shares = sharesByLine(input);
    for (const [line, amount] of isIn(input)) {
      if (amount === 0) continue;
      const target = targetsByLine(plan).get(line) ?? 0;
      if (meant === 'exact')
        expect(BigInt(amount) * 1_000_000n <= BigInt(size) * BigInt(shares.get(line) ?? 0)).toBe(true);
      const parts = input.state.plan.tasks.flatMap((task) => {
        if (task.kind !== 'draw' || (task.part?.group ?? task.id) !== line) return [];
        return (input.state.draws[task.id]?.net ?? (input.held?.draw === task.id ? input.held.net : null)) === null
          ? []
          : [task];
      });
      const scale = parts
        .map((task) => input.workshop.scales.get(task.scale))
        .sort((a, b) => (b?.d ?? 0) - (a?.d ?? 0))[0];
      const item = input.formula.phases.flatMap(({ id, work }) => {
        const draws = work.filter((each) => each.kind === 'draw');
        return draws.flatMap((each, index) => (`${id}${index + 1}` === line ? [each] : []));
      })[0];
      if (!scale || !item) throw new Error(line);
      const { low, high } = band(target, item.tolerance, scale, parts.length);
      expect(amount).toBeLessThanOrEqual(high);
      const left = leftAlone.find(({ draw }) => draw === line);
      if (left) expect(amount).toBeGreaterThanOrEqual(low);
    }
  });
});

test('a top-up and what is in make up the target, under the band of the whole', () => {
  forEveryOffer(({ plan, topUps }, input) => {
    const amounts = isIn(input);
    for (const task of plan.tasks) {
      if (task.kind !== 'draw' || !topUps.some(({ draw }) => draw === task.id)) continue;
      const { part } = task;
      if (!part) throw new Error(`${task.id} is no part`);
      const more = topUps.filter(({ draw }) =>
        plan.tasks.some((each) => each.kind === 'draw' && each.id === draw && each.part?.group === part.group),
      );
      expect((amounts.get(part.group) ?? 0) + more.reduce((sum, { amount }) => sum + amount, 0)).toBe(part.target);
      const { d } = plan.scales[task.scale] ?? { d: 1 };
      expect(task.low).toBeGreaterThanOrEqual(d);
      expect(task.low % d).toBe(0);
      expect(task.low).toBeLessThanOrEqual(task.high);
    }
  });
});

test('no more is asked of a lot than it holds, and none of an expired one', () => {
  forEveryOffer(({ plan, topUps }, { workshop, state, held, used, today }) => {
    const asked = new Map<string, number>(used);
    for (const task of plan.tasks) {
      if (task.kind !== 'draw') continue;
      const isHeld = held?.draw === task.id;
      if (state.draws[task.id]?.net != null && !isHeld) continue;
      const key = `${task.ingredient} ${task.lot}`;
      const peak = isHeld && task.way !== 'subtract' ? (state.draws[task.id]?.peak ?? 0) : 0;
      asked.set(key, (asked.get(key) ?? 0) + Math.max(isHeld ? Math.min(task.target, held.net) : task.target, peak));
      const lot = workshop.ingredients.get(task.ingredient)?.lots.find(({ id }) => id === task.lot);
      if (!isHeld) expect((lot?.expires ?? '9') >= today).toBe(true);
    }
    for (const { ingredient, lot, lotLeft } of topUps) {
      const book = workshop.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot)?.onHand ?? 0;
      expect(asked.get(`${ingredient} ${lot}`) ?? 0).toBeLessThanOrEqual(book);
      expect(lotLeft).toBeGreaterThanOrEqual(0);
    }
  });
});

test('more room in the vessels never makes it worse', () => {
  fc.assert(
    fc.property(fc.nat(), (seed) => {
      const input = randomBatch(seed);
      const vessels = [...input.workshop.vessels].map(
        ([id, vessel]) => [id, { ...vessel, usableMl: id === 'bowl' || id === 'jug' ? 1 : vessel.usableMl }] as const,
      );
      const roomier = planRescue({ ...input, workshop: { ...input.workshop, vessels: new Map(vessels) } });
      for (const offer of planRescue(input).offers) {
        const same = roomier.offers.filter((each) => each.wholeBars === offer.wholeBars);
        expect(
          Math.min(...same.map((each) => each.mass), ...roomier.offers.map((each) => each.mass)),
        ).toBeLessThanOrEqual(offer.mass);
      }
    }),
    RUNS,
  );
});

test('exactly is never smaller than within the bands', () => {
  fc.assert(
    fc.property(fc.nat(), (seed) => {
      const { offers } = planRescue(randomBatch(seed));
      for (const wholeBars of [false, true]) {
        const of = (meant: Offer['meant']) =>
          offers.find((each) => each.meant === meant && each.wholeBars === wholeBars)?.mass;
        const [exact, within] = [of('exact'), of('within bands')];
        if (exact !== undefined && within !== undefined) expect(within).toBeLessThanOrEqual(exact);
      }
    }),
    RUNS,
  );
});

test('the fact of an accepted offer is sound, and the batch goes on with what was held', () => {
  forEveryOffer((offer, input) => {
    const { state, held } = input;
    const fact = {
      ...rescuedBy(offer, held),
      batch: BATCH,
      seq: 2,
      at: '2026-11-25T10:00:00.000+01:00',
      by: 'Someone',
    };
    expect(checkFact(JSON.parse(JSON.stringify(fact)))).toMatchObject({ ok: true });
    const facts = sealed([{ kind: 'batch-started', plan: state.plan }, rescuedBy(offer, held)]);
    expect(Object.keys(stateOf(facts).draws)).toEqual(
      offer.plan.tasks.flatMap((task) => (task.kind === 'draw' ? [task.id] : [])),
    );
    if (held) expect(offer.plan.tasks.some(({ id }) => id === held.draw)).toBe(true);
    expect(mass(offer.plan.mass)).toBe(offer.mass);
  });
});
