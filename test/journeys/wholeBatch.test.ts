/**
 * The whole demo batch on real serial lines in a real terminal: all three ways, too much once in each of them, an
 * ingredient out of two lots, vessels emptied into another and weighed back, and the program killed in the middle of a
 * pour. From "begin" to "done" no key is touched.
 */
import { expect } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { contentOf } from '../../src/simulate/holder.ts';
import type { Bench } from './bench.ts';
import { journey } from './journey.ts';
import { run } from './run.ts';
import { expectTrue, recordOf } from './trueRecord.ts';
import { until } from './until.ts';

/** Too much, by ingredient: once in each way. */
const SLIPS = { 'shea-butter': mass(6_000_000), 'blue-dye': mass(80_000), 'lavender-oil': mass(700_000) };
/** The program is killed while this is poured. */
const KILLED_AT = 'corn-starch';

journey(
  'the demo formula is weighed on two serial lines, over a kill, and the record says what the pans received',
  async ({ bench, ledger, maker, start }) => {
    for (const [ingredient, slip] of Object.entries(SLIPS)) maker.slips.set(ingredient, slip);
    maker.touchesNoKey = true;
    let program = start(['weigh', 'cornflower-oat-bar']);

    // Up to the middle of a pour; then the program dies while the powder runs.
    const { draw } = await maker.work(
      ({ draw, state }) => draw?.ingredient === KILLED_AT && state.draws[draw.id]?.base != null,
    );
    if (!draw) throw new Error('no draw');
    const pour = bench.hand.pour({ ...maker.route(draw), upTo: mass(85_000_000), gramsPerSecond: 30 });
    await program.waitForText(/ADD.* added [2-9]\d\.\d g/);
    await program.kill();
    pour.stop();
    await until('end of the pour', () => pour.done);
    expect(bench.facts().at(-1)).toMatchObject({ kind: 'placed', draw: draw.id });
    expect(pour.arrived).toBeGreaterThan(20_000_000);

    // Taken up again, at the very draw and from the same gram.
    program = start(['resume']);
    const back = await maker.work(({ glance }) => glance.headline === 'ADD' && glance.atRest);
    expect(back.draw?.id).toBe(draw.id);
    expect(Math.abs((back.glance.net ?? 0) - pour.arrived)).toBeLessThanOrEqual(draw.uncertainty);

    await maker.work(({ glance }) => glance.headline === 'DONE');
    expect(maker.keys).toEqual(['enter']); // begin
    program.press('enter');
    expect(await program.exited).toEqual({ code: 0, signal: 0 });

    const record = await recordOf(bench);
    expect(record.status).toBe('finished');
    expect(new Set(record.draws.map(({ ingredient }) => ingredient)).size).toBe(21);
    expect(new Set(record.draws.map(({ way }) => way))).toEqual(new Set(['add', 'cup', 'subtract']));
    expect(record.draws.filter(({ ingredient }) => ingredient === 'sulfoacetate')).toHaveLength(2);
    expectTrue(record, ledger);
    expectStepsTrue(bench);

    // Each over-pour was caught on the screen before it was accepted, and taken back.
    for (const ingredient of Object.keys(SLIPS)) {
      expect(maker.holds.get(ingredient)).toMatch(/ STOP .*too much/i);
      const id = record.draws.find((each) => each.ingredient === ingredient)?.draw;
      expect(record.over_pours).toContainEqual(expect.objectContaining({ draw: id, end: 'taken back' }));
    }
    expect(record.resumed).toHaveLength(1);

    expect((await run(['verify', '--in', bench.folder])).code).toBe(0);
  },
  { timeout: 240_000 },
);

/** Three vessels were emptied into the bowl, and what stuck is what truly is in them still; the sums are right. */
function expectStepsTrue({ facts, world, state }: Bench): void {
  const steps = facts().filter((fact) => fact.kind === 'step-done' || fact.kind === 'step-begun');
  for (const { kind, how } of steps) expect(how, kind).not.toBe('key');
  const back = facts().flatMap((fact) => (fact.kind === 'step-done' ? (fact.weighedBack ?? []) : []));
  const last = new Map(back.map((each) => [each.vessel, each]));
  expect([...last.keys()].sort()).toEqual(['liquids-beaker', 'melt-jug', 'powders-tub']);
  for (const [vessel, { residue, uncertainty }] of last) {
    const truly = contentOf(world.vessel(vessel));
    expect(truly).toBeGreaterThan(0);
    expect(Math.abs(residue - truly), `${vessel}: ${residue} said, ${truly} true`).toBeLessThanOrEqual(uncertainty);
  }
  const sums = facts().filter((fact) => fact.kind === 'sum-checked');
  expect(sums).toHaveLength(5);
  for (const sum of sums) expect(sum).toMatchObject({ reason: null, suspects: [] });
  const bowl = world.vessel('mixing-bowl');
  const off = (state()?.vessels['mixing-bowl']?.load ?? 0) - contentOf(bowl) - bowl.tare;
  expect(Math.abs(off)).toBeLessThanOrEqual(300_000);
}
