/** The demo batch at a hold: too much of one ingredient rests on its pan, and the way out of it is worked out. */
import { expect } from 'vitest';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { createControls } from '../../src/screen/fill/controls.ts';
import type { Station } from '../../src/weighing/station.ts';
import { createFakeClock } from '../fakeClock.ts';
import { BATCH_DAY, demo, demoFormula, drawOf, planOf } from '../plan/fixtures.ts';
import { walkTo } from '../rescue/walkTo.ts';
import { type FindRescue, pan, type Rig, startChart } from '../weighing/chartRig.ts';
import { g } from '../weighing/samplePlan.ts';

const plan = planOf(demo, demoFormula);

/** The demo batch, up to a draw that rests on its pan with so much in it. */
export async function holding(ingredient: string, grams: number, find?: FindRescue) {
  const draw = drawOf(plan, ingredient);
  const { facts, state } = walkTo(plan, draw.id, g(grams));
  const usual: FindRescue = async ({ batch, held }) =>
    planRescue({
      workshop: demo,
      formula: demoFormula,
      state: batch,
      held,
      used: stockUsed(facts, demo),
      today: BATCH_DAY,
    });
  const rig = await startChart(facts, plan, find ?? usual);
  const scale = draw.scale === 'fine' ? 'fine' : 'bench';
  const base = (state.draws[draw.id]?.base ?? 0) / 1e6;
  const load = draw.way === 'subtract' ? base - grams : base + grams;
  await rig.tell(pan.empties(scale), pan.settles(scale, load));
  expect(rig.state).toBe('hold.open');
  return { rig, scale, load, ...at(rig) } as const;
}

/** The maker's keys, and a station that is nothing but the chart. */
function at(rig: Rig) {
  let answered: Promise<void> = Promise.resolve();
  const station: Station = {
    start() {},
    async stop() {},
    answer(answer) {
      answered = rig.tell(answer);
    },
    async returned() {},
    partDone() {},
    keyed() {},
    declareEmpty() {},
    snapshot: () => rig.snapshot,
    live: () => {
      throw new Error('no scale here');
    },
  };
  const controls = createControls({ station, clock: createFakeClock(), onLeave: () => {} });
  return { station, controls, done: () => answered };
}
