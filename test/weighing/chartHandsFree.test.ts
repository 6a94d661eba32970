/** Steps without a key: lifting, putting on, weighing back, a tap on the empty pan. */
import { describe, expect, it } from 'vitest';
import { pan, type Rig, startChart } from './chartRig.ts';
import { gathered } from './chartWalks.ts';
import { aDraw, aPlan, aStep, combine, dye, g, melt, oil, placing, weighing } from './samplePlan.ts';

const first = aDraw('A1');
const weighed = [gathered, placing(first, g(300)), weighing(first, g(300), g(100))];
const kinds = (rig: Rig) => rig.written.map(({ kind }) => kind);
const puts = (rig: Rig, scale: 'bench' | 'fine', grams: number) =>
  rig.tell(pan.moves(scale), pan.settles(scale, grams), pan.dwells(scale, grams));

describe('the clock', () => {
  it('starts when the vessel is lifted, not while it stands there', async () => {
    const rig = await startChart(weighed, aPlan([first, melt]));
    await puts(rig, 'bench', 400);
    expect(rig.state).toBe('step.ready');
    await rig.tell(pan.moves('bench'));
    expect(rig.state).toBe('step.ready');
    await rig.tell(pan.empties('bench'));
    expect(rig.written).toMatchObject([{ kind: 'step-begun', step: 'A3', burst: 1, how: 'lifted' }]);
    expect(rig.state).toBe('step.running');
  });

  it('starts at once when the vessel is in hand already', async () => {
    const rig = await startChart(weighed, aPlan([first, melt]));
    expect(rig.state, 'nothing is known of the pans').toBe('step.ready');
    await rig.tell(pan.empties('bench'));
    expect(rig.written).toMatchObject([{ kind: 'step-begun', how: 'at-hand' }]);
  });

  it('does not start by a pan that is in doubt', async () => {
    const rig = await startChart(weighed, aPlan([first, melt]));
    await rig.tell(pan.isInTrouble('bench'));
    expect(rig.state).toBe('step.ready');
  });
});

describe('done', () => {
  it('by the vessel put back, once the time is over', async () => {
    const rig = await startChart([...weighed, { kind: 'step-begun', step: 'A3', burst: 1 }], aPlan([first, melt]));
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', 398.2); // some has boiled off
    expect(rig.state).toBe('step.running');
    rig.wait(30_000);
    await rig.tell();
    await new Promise((resolve) => setImmediate(resolve));
    expect(rig.written).toMatchObject([{ kind: 'step-done', step: 'A3', how: 'put-on' }, { kind: 'finished' }]);
  });

  it("by the next draw's vessel, where that was put on since", async () => {
    const mix = aStep('A3', 'mix', { vessel: 'bowl' });
    const rig = await startChart(weighed, aPlan([first, mix, dye]));
    await puts(rig, 'fine', 80);
    expect(kinds(rig)).toEqual(['step-done', 'placed']);
  });

  it('not by what has stood there all along', async () => {
    const mix = aStep('A3', 'mix', { vessel: 'bowl' });
    const rig = await startChart([gathered, placing(first, g(300))], aPlan([first, mix, dye]));
    await puts(rig, 'fine', 80);
    await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(kinds(rig)).toEqual(['weighed']);
    await rig.tell(pan.dwells('fine', 80), pan.dwells('bench', 400));
    expect(rig.state).toBe('step.ready');
    await rig.tell(pan.moves('fine'), pan.empties('fine'));
    await puts(rig, 'fine', 80);
    expect(kinds(rig)).toEqual(['weighed', 'step-done', 'placed']);
  });

  it('by what a brisk hand swaps in, though the pan was never seen empty', async () => {
    const mix = aStep('A3', 'mix', { vessel: 'jar' });
    const powder = aDraw('B1', { vessel: 'beaker', on: 'beaker' });
    const rig = await startChart(weighed, aPlan([first, mix, powder]));
    await rig.tell(pan.moves('bench'), pan.settles('bench', 150), pan.dwells('bench', 150));
    expect(kinds(rig), 'it is the first that is known of that pan').toEqual(['step-done', 'placed']);

    const begun = await startChart([gathered, placing(first, g(300))], aPlan([first, mix, powder]));
    await begun.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'));
    await begun.tell(pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(begun.state).toBe('step.ready');
    await puts(begun, 'bench', 150);
    expect(kinds(begun)).toEqual(['weighed', 'step-done', 'placed']);
  });

  it('not by something else, and not before it has stood', async () => {
    const mix = aStep('A3', 'mix', { vessel: 'bowl' });
    const rig = await startChart(weighed, aPlan([first, mix, dye]));
    await puts(rig, 'bench', 200);
    await rig.tell(pan.moves('bench'), pan.empties('bench'), pan.moves('bench'), pan.settles('bench', 400));
    expect(rig.written).toEqual([]);
    await rig.tell(pan.dwells('bench', 400));
    expect(kinds(rig)).toEqual(['step-done']);
  });
});

describe('a tap on the empty wide pan', () => {
  it('is once more, and done when it may not be once more', async () => {
    const rig = await startChart([...weighed, { kind: 'step-begun', step: 'A3', burst: 1 }], aPlan([first, melt]));
    await rig.tell(pan.empties('bench'), pan.moves('bench'), pan.taps('bench'));
    expect(rig.state, 'too early').toBe('step.running');
    rig.wait(30_000);
    expect(rig.state, 'the tap before is forgotten').toBe('step.rung');
    await rig.tell(pan.moves('bench'), pan.taps('bench'));
    expect(rig.written).toMatchObject([{ kind: 'step-begun', burst: 2, how: 'tapped' }]);
    rig.wait(30_000);
    await rig.tell(pan.moves('bench'), pan.taps('bench'));
    expect(kinds(rig)).toEqual(['step-begun', 'step-done', 'finished']);
  });

  it.each([
    ['a draught', 'bench', g(3)],
    ['the fine scale, which feels everything', 'fine', g(40)],
  ] as const)('is not %s', async (_why, scale, pressed) => {
    const rig = await startChart(weighed, aPlan([first, aStep('A3', 'check')]));
    await rig.tell(pan.empties(scale), pan.moves(scale), pan.taps(scale, pressed));
    expect(rig.written).toEqual([]);
  });

  it('does not end an emptying: what stuck is to be weighed', async () => {
    const rig = await startChart([gathered], aPlan([combine]));
    await rig.tell(pan.empties('bench'), pan.moves('bench'), pan.taps('bench'));
    expect(rig.state).toBe('step.ready');
  });
});

describe('weighed back', () => {
  const liquid = aDraw('B1', { vessel: 'beaker', on: 'beaker' });
  const log = [gathered, placing(liquid, g(150.4)), weighing(liquid, g(150.4), g(100))];
  const rinse = aStep('B3', 'rinse', { vessel: 'beaker', into: 'bowl' });

  it('an emptied vessel tells what stuck to it, against its own empty weight', async () => {
    const rig = await startChart(log, aPlan([liquid, combine, rinse]));
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', 151.9);
    expect(rig.written).toMatchObject([
      {
        kind: 'step-done',
        step: 'B2',
        how: 'put-on',
        weighedBack: { vessel: 'beaker', scale: 'bench', load: g(151.9), residue: g(1.5) },
      },
    ]);
    const { batch } = rig.snapshot.context;
    expect(batch.clinging.beaker).toMatchObject({ residue: g(1.5), shares: { B1: g(1.5) }, into: 'bowl' });
    expect(batch.vessels.bowl).toMatchObject({ load: g(398.5), holds: ['B1'] });

    // Wiped out: it has to be seen off the pan first.
    await rig.tell(pan.dwells('bench', 151.9));
    expect(rig.written).toHaveLength(1);
    await rig.tell(pan.moves('bench'), pan.empties('bench'));
    await puts(rig, 'bench', 150.6);
    expect(rig.written.at(1)).toMatchObject({ kind: 'step-done', weighedBack: { residue: g(0.2) } });
    expect(rig.snapshot.context.batch.clinging.beaker).toMatchObject({ residue: g(0.2), shares: { B1: g(0.2) } });
    expect(rig.snapshot.context.batch.vessels.bowl?.load).toBe(g(399.8));
  });

  it('a vessel that was emptied before and used again: more may stick to it than the first time', async () => {
    const more = aDraw('C1', { vessel: 'beaker', on: 'beaker' });
    const oncemore = aStep('C2', 'combine', { vessel: 'beaker', into: 'bowl' });
    const weighedBack = { vessel: 'beaker', scale: 'bench', load: g(150.9), residue: g(0.5), uncertainty: g(0.2) };
    const rig = await startChart(
      [
        ...log,
        { kind: 'step-done', step: 'B2', bursts: 0, weighedBack },
        placing(more, g(150.9)),
        weighing(more, g(150.9), g(100)),
      ],
      aPlan([liquid, combine, more, oncemore]),
    );
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', 154.9);
    expect(rig.written[0]).toMatchObject({ kind: 'step-done', step: 'C2', weighedBack: { residue: g(4) } });
  });

  it.each([
    ['still more than half full', 210],
    ['another one, lighter', 148],
  ])('not when it is %s', async (_why, grams) => {
    const rig = await startChart(log, aPlan([liquid, combine]));
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', grams);
    expect(rig.state).toBe('step.ready');
  });

  it('nothing sticks below nothing', async () => {
    const rig = await startChart(log, aPlan([liquid, combine]));
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', 150.3);
    expect(rig.written[0]).toMatchObject({ weighedBack: { residue: 0 } });
  });

  it('by its usual tare, and less surely, where it was never seen empty', async () => {
    const tipped = { ...oil, vessel: 'beaker' };
    const rig = await startChart(
      [
        gathered,
        placing(tipped, g(30)),
        weighing(tipped, g(30), g(5)),
        { kind: 'tipped', draw: 'C1', vessel: 'beaker', residue: g(0), deviation: null },
      ],
      aPlan([tipped, combine]),
    );
    await rig.tell(pan.empties('bench'));
    await puts(rig, 'bench', 150.9);
    const [done] = rig.written;
    expect(done).toMatchObject({ weighedBack: { residue: g(0.9) } });
    // Half a percent of 150 g (the usual slack of a tare) and two readings.
    expect(done?.kind === 'step-done' && done.weighedBack?.uncertainty).toBeGreaterThan(g(0.75));
  });
});
