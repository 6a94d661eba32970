/** What a rescue at the bench is worked out from: the files as they are now, the log as it was written. */
import { describe, expect, it } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { rescueAtHold } from '../../src/rescue/atHold.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { BATCH_DAY, demo, demoFormula, drawOf, planOf } from '../plan/fixtures.ts';
import { g, sealed } from '../weighing/samplePlan.ts';
import { walkTo } from './walkTo.ts';

const plan = planOf(demo, demoFormula);
const shea = drawOf(plan, 'shea-butter');
const net = g(81);
const { state, facts } = walkTo(plan, shea.id, net);
const at = { workshop: demo, formula: demoFormula, state, held: { draw: shea.id, net }, facts, today: BATCH_DAY };

describe('the way out of a hold at the bench', () => {
  it('is the same as the planner finds, where no file has changed', () => {
    const found = planRescue({ ...at, used: stockUsed(facts, demo) });
    expect(rescueAtHold(at)).toEqual(found);
    expect(found.offers.length).toBeGreaterThan(0);
  });

  it('is none, where the formula has another version by now', () => {
    const { offers, refused } = rescueAtHold({ ...at, formula: { ...demoFormula, version: '4' } });
    expect(offers).toEqual([]);
    expect(refused.map(({ say }) => say)).toEqual([
      "No scale-up, because: The formula's file is of version 4 now, and this batch was begun by version 3.",
    ]);
  });

  it('is none, where the formula can not be read any more, and says why', () => {
    const { offers, refused } = rescueAtHold({ ...at, formula: 'Its file is gone.' });
    expect([offers, refused[0]?.reasons[0]?.why]).toEqual([[], 'Its file is gone.']);
  });

  it('is none, where the version is the same and the shares are not', () => {
    const phases = demoFormula.phases.map((phase) => ({ ...phase, work: phase.work.slice(1) }));
    const { offers, refused } = rescueAtHold({ ...at, formula: { ...demoFormula, phases } });
    expect([offers, refused[0]?.say]).toEqual([[], expect.stringMatching(/has changed since this batch was begun/)]);
  });
});

describe('what was used of a lot', () => {
  it('knows a draw that a split made, also when it is thrown away', () => {
    const rest = { ...shea, id: 'A3.2', lot: 'SH-99', target: g(20) };
    const split: Happened = {
      kind: 'split',
      draw: shea.id,
      why: 'lot-ended',
      nothingYet: false,
      rest,
      newVessel: null,
    };
    const thrown: Happened = { kind: 'discarded', draw: 'A3.2', lot: 'SH-99', amount: g(7), reason: 'spilt' };
    const used = stockUsed([...facts, ...sealed([split, thrown], facts.length)], demo);
    expect(used.get('shea-butter SH-99')).toBe(g(7));
  });
});
