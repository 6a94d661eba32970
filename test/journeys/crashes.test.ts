/** The program is killed at the moments that matter, and goes on where it was. */
import { expect } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { journey, THREE_WAYS } from './journey.ts';
import { run } from './run.ts';
import { expectTrue, recordOf } from './trueRecord.ts';

journey(
  'killed between the accepted cup and its tipping, it asks for the tipping only, and what reached the beaker is right',
  async ({ bench, ledger, maker, start }) => {
    const program = start(['weigh', 'trial']);
    const { draw } = await maker.work(
      ({ draw, state }) => draw?.way === 'cup' && state.draws[draw.id]?.status === 'weighed',
    );
    await program.kill();

    const again = start(['resume']);
    const { glance } = await maker.moment();
    expect(glance.headline).toBe('TIP');
    await maker.work(({ glance }) => glance.headline === 'DONE');
    again.press('enter');
    expect((await again.exited).code).toBe(0);

    const facts = bench.facts().filter((fact) => 'draw' in fact && fact.draw === draw?.id);
    expect(facts.map(({ kind }) => kind)).toEqual(['placed', 'weighed', 'tipped']);
    expectTrue(await recordOf(bench), ledger);
    expect((await run(['verify', '--in', bench.folder])).code).toBe(0);
  },
  { formula: THREE_WAYS },
);

journey(
  'killed after dye was spooned out and before it was accepted, it knows again how much is on the spoon',
  async ({ bench, ledger, maker, start }) => {
    const program = start(['weigh', 'trial']);
    const { draw } = await maker.work(
      ({ draw, glance }) => draw?.way === 'subtract' && glance.headline === 'TAKE OUT' && glance.atRest,
    );
    if (!draw) throw new Error('no draw');
    const taken = bench.hand.move(bench.world.vessel(draw.on), bench.world.spoon, mass(420_000));
    await program.waitForText(/taken 0\.4\d g/);
    await program.kill();

    const again = start(['resume']);
    const back = await maker.work(({ glance }) => glance.headline === 'TAKE OUT' && glance.atRest);
    expect(Math.abs((back.glance.net ?? 0) - taken)).toBeLessThanOrEqual(draw.uncertainty);
    await maker.work(({ glance }) => glance.headline === 'DONE');
    again.press('enter');
    expect((await again.exited).code).toBe(0);
    const record = await recordOf(bench);
    expectTrue(record, ledger);
    expect(record.resumed).toHaveLength(1);
  },
  { formula: THREE_WAYS },
);
