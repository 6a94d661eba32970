/** What goes wrong at the bench while it is weighed: the cable, the unit, the wrong scale. */
import { expect } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { journey, THREE_WAYS } from './journey.ts';
import { expectTrue, recordOf } from './trueRecord.ts';
import { until } from './until.ts';

journey(
  'the plug is pulled while glycerin runs: no number stays, it goes on by itself, and the amount is right',
  async ({ bench, ledger, maker, start }) => {
    const program = start(['weigh', 'trial']);
    const { draw } = await maker.work(({ glance }) => glance.headline === 'ADD' && glance.atRest);
    if (!draw) throw new Error('no draw');
    // Less than what is wanted, however late she sees that the scale is gone.
    const pour = bench.hand.pour({ ...maker.route(draw), upTo: mass(50_000_000), gramsPerSecond: 20 });
    await program.waitForText(/added [1-9]\d\.\d g/);
    await bench.line('bench').pullOut();

    const blind = await program.waitForText(/NO SCALE .*bench.* Stop pouring/);
    expect(blind).not.toMatch(/(added|on bench) -?\d/);
    pour.stop();
    await until('end of the pour', () => pour.done);
    await bench.line('bench').plugIn();

    const back = await maker.work(({ glance }) => glance.headline === 'ADD' && glance.atRest);
    expect(Math.abs((back.glance.net ?? 0) - pour.arrived)).toBeLessThanOrEqual(draw.uncertainty);
    await maker.work(({ glance }) => glance.headline === 'DONE');
    const record = await recordOf(bench);
    expectTrue(record, ledger);
    expect(record.scale_events.length).toBeGreaterThan(0);
  },
  { formula: THREE_WAYS },
);

journey(
  'a scale whose unit key was pressed is not believed until it shows grams again',
  async ({ bench, ledger, maker, start }) => {
    const program = start(['weigh', 'trial']);
    const { draw } = await maker.work(({ glance }) => glance.headline === 'ADD' && glance.atRest);
    if (!draw) throw new Error('no draw');
    await maker.pour(draw, mass(30_000_000));
    await program.waitForText(/added 30\.\d g/);
    const { instrument } = bench.line('bench');
    instrument.pressUnit();
    const stopped = await program.waitForText(/STOP .*unit/);
    expect(stopped).not.toMatch(/(added|on bench) -?\d/);
    await until('grams on the display', () => {
      if (instrument.shown?.unit !== 'g') instrument.pressUnit();
      return instrument.shown?.unit === 'g';
    });
    await maker.work(({ glance }) => glance.headline === 'DONE');
    expectTrue(await recordOf(bench), ledger);
  },
  { formula: THREE_WAYS },
);

journey(
  'a vessel on the wrong scale is noticed, and so is what goes into the wrong vessel',
  async ({ bench, ledger, maker, start }) => {
    const { hand, world } = bench;
    const program = start(['weigh', 'trial']);
    await maker.work(({ glance }) => glance.headline === 'PUT ON');
    hand.put(world.vessel('liquids-beaker'), world.pan('fine'));
    await program.waitForText(/OTHER SCALE .*158\.30 g .*fine scale.*bench scale/);
    hand.lift(world.vessel('liquids-beaker'));

    const { draw } = await maker.work(({ draw, glance }) => draw?.way === 'cup' && glance.headline === 'INTO CUP');
    if (!draw) throw new Error('no draw');
    const spilt = hand.move(world.lot(draw.lot), world.vessel('liquids-beaker'), mass(2_200_000));
    await program.waitForText(/OTHER SCALE .*2\.2 g .*bench scale.*fine scale/);
    hand.move(world.vessel('liquids-beaker'), world.bin, spilt);
    void ledger;
  },
  { formula: THREE_WAYS },
);
