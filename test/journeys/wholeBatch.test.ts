/**
 * The whole demo batch on real serial lines in a real terminal: all three ways, too much once in each of them, and the
 * program killed in the middle of a pour.
 */
import { afterEach, expect, test } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { type Bench, noBench, setUpBench } from './bench.ts';
import { Ledger } from './ledger.ts';
import { Maker } from './maker.ts';
import { onScreen } from './onScreen.ts';
import { run } from './run.ts';
import { SeenProgram } from './seenProgram.ts';
import { expectTrue, type RecordedBatch } from './trueRecord.ts';
import { until } from './until.ts';

/** Too much, by ingredient: once in each way. */
const SLIPS = { 'shea-butter': mass(6_000_000), 'blue-dye': mass(80_000), 'lavender-oil': mass(700_000) };
/** The program is killed while this is poured. */
const KILLED_AT = 'corn-starch';

let bench: Bench | undefined;
let program: SeenProgram | undefined;
afterEach(async () => {
  await program?.kill();
  await bench?.stop();
});

test.skipIf(noBench !== undefined)(
  `the demo formula is weighed on two serial lines, over a kill, and the record says what the pans received${noBench ? ` (skipped: ${noBench})` : ''}`,
  { timeout: 180_000 },
  async () => {
    bench = await setUpBench();
    const { folder, hand, world } = bench;
    const ledger = new Ledger(world);
    program = new SeenProgram(['weigh', 'cornflower-oat-bar', '--in', folder]);
    const maker = new Maker(bench, ledger, onScreen(program));
    for (const [ingredient, slip] of Object.entries(SLIPS)) maker.slips.set(ingredient, slip);

    // Up to the middle of a pour; then the program dies while the powder runs.
    const { draw } = await maker.work(
      ({ draw, glance }) => draw?.ingredient === KILLED_AT && glance.headline === 'ADD' && glance.atRest,
    );
    if (!draw) throw new Error('no draw');
    const pour = hand.pour({ ...maker.route(draw), gramsPerSecond: 30 });
    await program.waitForText(/added [2-9]\d\.\d g/);
    await program.kill();
    pour.stop();
    await until('end of the pour', () => pour.done);
    expect(bench.facts().at(-1)).toMatchObject({ kind: 'placed', draw: draw.id });
    expect(pour.arrived).toBeGreaterThan(20_000_000);

    // Taken up again, at the very draw and from the same gram.
    program = new SeenProgram(['resume', '--in', folder]);
    maker.turnTo(onScreen(program));
    const back = await maker.work(({ glance }) => glance.headline === 'ADD' && glance.atRest);
    expect(back.draw?.id).toBe(draw.id);
    expect(Math.abs((back.glance.net ?? 0) - pour.arrived)).toBeLessThanOrEqual(draw.uncertainty);

    await maker.work(({ glance }) => glance.headline === 'DONE');
    program.press('enter');
    expect(await program.exited).toEqual({ code: 0, signal: 0 });

    const { code, out } = await run(['record', '--json', '--in', folder]);
    expect(code).toBe(0);
    const record = JSON.parse(out) as RecordedBatch;
    expect(record.status).toBe('finished');
    expect(new Set(record.draws.map(({ ingredient }) => ingredient)).size).toBe(21);
    expect(new Set(record.draws.map(({ way }) => way))).toEqual(new Set(['add', 'cup', 'subtract']));
    expectTrue(record, ledger);

    // Each over-pour was caught on the screen before it was accepted, and taken back.
    for (const ingredient of Object.keys(SLIPS)) {
      expect(maker.holds.get(ingredient)).toMatch(/ STOP .*too much/i);
      const id = record.draws.find((each) => each.ingredient === ingredient)?.draw;
      expect(record.over_pours).toContainEqual(expect.objectContaining({ draw: id, end: 'taken back' }));
    }
    expect(record.resumed).toHaveLength(1);

    expect((await run(['verify', '--in', folder])).code).toBe(0);
  },
);
