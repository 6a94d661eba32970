import { expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { rescuedBy } from '../../src/rescue/accepting.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { BATCH_DAY, demo, demoFormula, planOf } from '../plan/fixtures.ts';
import { walkOn, walkTo } from '../rescue/walkTo.ts';
import { g, sealed } from '../weighing/samplePlan.ts';

test('a record tells of the scale-up, and names its top-ups like all draws', () => {
  const net = g(60);
  const come = walkTo(planOf(demo, demoFormula), 'B2', net);
  const held = { draw: 'B2', net };
  const used = stockUsed(come.facts, demo);
  const input = { workshop: demo, formula: demoFormula, state: come.state, held, used, today: BATCH_DAY };
  const offer = planRescue(input).offers.find(({ bars, wholeBars }) => wholeBars && bars === 26);
  if (!offer) throw new Error('no 26 bars');
  const said = [...come.facts, ...sealed([rescuedBy(offer, held)], come.facts.length)];
  const nets = ({ id }: { id: string }) => (id === 'B2' ? { net: g(60.1) } : undefined);
  const { facts } = walkOn(said, 'B3', null, nets);
  const record = batchRecord(facts, { seq: facts.length, hash: 'ab'.repeat(32) });

  expect(record.plan).toMatchObject({ bars: 26, mass: 2_010_309_278 });
  expect(record.draws.map(({ draw, name }) => [draw, name])).toContainEqual(['A1.2', 'Cetearyl alcohol, flakes']);
  expect(record.draws.find(({ draw }) => draw === 'B2')?.decisions).toEqual([]);
  expect(record.overPours).toMatchObject([{ draw: 'B2', end: 'batch scaled up' }]);
  expect(record.deviations).toContain(`Batch scaled up by Someone: ${offer.say}`);
  // What left a lot for the first draw and for its top-up is one use of it.
  const wax = record.lots.find(({ ingredient }) => ingredient === 'cetearyl-alcohol');
  const draws = record.draws.filter(({ ingredient }) => ingredient === 'cetearyl-alcohol');
  expect(wax?.taken).toBe(mass(draws.reduce((sum, each) => sum + each.net, 0)));
  expect(draws).toHaveLength(2);
});
