import { expect, it } from 'vitest';
import { considerPlan, makePlan } from '../../src/plan/plan.ts';
import { BATCH_DAY, demo, demoFormula, planOf } from './fixtures.ts';
import { randomShop } from './randomShop.ts';
import { recheck } from './recheck.ts';

const RUNS = Number(process.env.PLAN_RUNS ?? 2_000);
const FIRST = Number(process.env.SEED ?? 20_261_130);

it('the plan of the demo batch keeps to every rule', () => {
  expect(recheck(demo, demoFormula, planOf(demo, demoFormula))).toEqual([]);
});

it(`no plan asks for what the rules refuse, on random workshops with several of a vessel (from seed ${FIRST})`, () => {
  const counts = { plans: 0, 'over several vessels': 0, 'several cups': 0 };
  for (let seed = FIRST; seed < FIRST + RUNS; seed++) {
    const { workshop, formula } = randomShop(seed, true);
    const { result } = considerPlan(workshop, formula, undefined, BATCH_DAY, false);
    if (!result.ok) continue;
    const { plan } = result;
    expect(recheck(workshop, formula, plan), `seed ${seed}`).toEqual([]);
    counts.plans += 1;
    const draws = plan.tasks.filter((task) => task.kind === 'draw');
    if (draws.some(({ vessel }) => vessel.includes('+'))) counts['over several vessels'] += 1;
    if (draws.some(({ way, part }) => way === 'cup' && part)) counts['several cups'] += 1;
  }
  if (process.env.PLAN_RUNS) console.info(counts);
  for (const count of Object.values(counts)) expect(count).toBeGreaterThan(RUNS / 400);
}, 120_000);

it('the check itself sees a plan that was spoilt', () => {
  const plan = planOf(demo, demoFormula);
  const spoil = (change: object) => {
    const [first, ...tasks] = plan.tasks;
    return recheck(demo, demoFormula, {
      ...plan,
      tasks: [{ ...first, ...change } as (typeof plan.tasks)[number], ...tasks],
    });
  };
  expect(spoil({ scale: 'fine' }).join()).toContain('A1: too heavy for the pan');
  expect(spoil({ low: 0 })).not.toEqual([]);
  expect(spoil({ target: 1 })).not.toEqual([]);
  expect(makePlan(demo, demoFormula, { bars: 24 }, BATCH_DAY).ok).toBe(true);
});
