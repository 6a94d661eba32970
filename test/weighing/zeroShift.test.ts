/** The empty pan shows that its zero moved: which draws that touches, when it is written, and that it makes no noise. */
import { describe, expect, it } from 'vitest';
import { standing } from '../../src/weighing/look.ts';
import { giveUp, pan, type Rig, startChart, stop, yes } from './chartRig.ts';
import { aDraw, aPlan, aStep, dye, g, melt, oil } from './samplePlan.ts';

const two = [aDraw('A1'), aDraw('A2', { on: 'beaker', vessel: 'beaker' }), aDraw('A3')];
const same = [aDraw('A1'), aDraw('A2'), aDraw('A3', { on: 'beaker', vessel: 'beaker' })];

/** Pours into the bowl on the bench scale, from one load to the other. */
async function pours(rig: Rig, from: number, to: number): Promise<void> {
  await rig.tell(pan.moves('bench'), pan.settles('bench', from), pan.moves('bench'), pan.settles('bench', to));
  await rig.tell(pan.dwells('bench', to));
}

async function begin(tasks: Parameters<typeof aPlan>[0]): Promise<Rig> {
  const rig = await startChart([{ kind: 'gathered' }], aPlan(tasks));
  await rig.tell(pan.empties('bench'), pan.empties('fine'));
  return rig;
}

const told = (rig: Rig) => rig.written.filter(({ kind }) => kind === 'zero-shifted');

describe('when the vessel is lifted', () => {
  it('the draw since the last empty pan is named, at once, and the walk goes on', async () => {
    const rig = await begin(two);
    await pours(rig, 300, 400);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.3));
    expect(told(rig)).toMatchObject([{ scale: 'bench', shift: g(-0.3), draws: ['A1'] }]);
    expect(rig.snapshot.context.batch.draws.A1?.doubt).toBe(g(0.3));
    expect(rig.state).toBe('placing');
    await pours(rig, 150, 250);
    expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', draw: 'A2', budget: { drift: 173_206 } });
  });

  it('so are all that were weighed without it being empty between', async () => {
    const rig = await begin(same);
    await pours(rig, 300, 400);
    await pours(rig, 400, 500);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0.4));
    expect(told(rig)).toMatchObject([{ draws: ['A1', 'A2'] }]);
  });

  it('also while the log could not be written: the draw is named once it is', async () => {
    const rig = await begin(two);
    await rig.tell(pan.settles('bench', 300), pan.dwells('bench', 300));
    rig.failWith('the disk is full');
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.state).toBe('logFailed');
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.3));
    rig.failWith(undefined);
    await rig.tell(yes);
    expect(rig.written.slice(-2)).toMatchObject([
      { kind: 'weighed', draw: 'A1' },
      { kind: 'zero-shifted', shift: g(-0.3), draws: ['A1'] },
    ]);
  });

  it('what was weighed before the last empty pan is not touched', async () => {
    const rig = await begin(two);
    await pours(rig, 300, 400);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0));
    await pours(rig, 150, 250);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.3));
    expect(told(rig)).toMatchObject([{ draws: ['A2'] }]);
  });

  it.each([0, 0.1, -0.1])('a shift of %d g, which the recorded uncertainty covers, is not told', async (shift) => {
    const rig = await begin(two);
    await pours(rig, 300, 400);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', shift));
    expect(told(rig)).toEqual([]);
    expect(rig.snapshot.context.batch.draws.A1?.doubt).toBeNull();
  });

  it('nor a key, which moves the zero by all that stood there', async () => {
    const rig = await begin(two);
    await pours(rig, 300, 400);
    await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -400));
    expect(told(rig)).toEqual([]);
  });

  it('nor drift while nothing stood there', async () => {
    const rig = await begin(two);
    await rig.tell(pan.emptiesBy('bench', 0.3), pan.emptiesBy('bench', 0.3));
    expect(told(rig)).toEqual([]);
  });

  it('after a gap in the readings the pan can not tell how far it moved', async () => {
    const rig = await begin(two);
    await pours(rig, 300, 400);
    await rig.tell(pan.isSilent('bench'), pan.isFresh('bench'), pan.empties('bench', g(-5)));
    expect(told(rig)).toEqual([]);
  });
});

it('in mid-draw: the draw itself goes on from the new zero, with the shift as its drift; only the one before is named', async () => {
  const rig = await begin(same);
  await pours(rig, 300, 400);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 430), pan.moves('bench'), pan.emptiesBy('bench', -0.3));
  expect(told(rig)).toMatchObject([{ draws: ['A1'] }]);
  await pours(rig, 430.3, 500);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', draw: 'A2', budget: { drift: 173_206 } });
});

it('while a cup is tipped, and in between the steps', async () => {
  const rig = await begin([oil, aStep('C2', 'check')]);
  await rig.tell(pan.settles('fine', 30), pan.moves('fine'), pan.settles('fine', 35), pan.dwells('fine', 35));
  await rig.tell(pan.moves('fine'), pan.emptiesBy('fine', -0.03));
  expect(told(rig)).toMatchObject([{ scale: 'fine', draws: ['C1'] }]);
  expect(rig.state).toBe('tipping.waiting');

  const melts = await begin([aDraw('A1'), melt]);
  await pours(melts, 300, 400);
  await melts.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.3));
  expect(told(melts)).toHaveLength(1);
  expect(melts.state).toBe('step.running');
});

it('a running clock is not disturbed: it is written after the step', async () => {
  const rig = await begin([aDraw('A1'), melt]);
  await pours(rig, 300, 400);
  await rig.tell(yes);
  expect(rig.state).toBe('step.running');
  rig.wait(20_000);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.3));
  expect([rig.state, told(rig).length]).toEqual(['step.running', 0]);
  rig.wait(10_000);
  await rig.tell(yes);
  expect(rig.written.slice(-3).map(({ kind }) => kind)).toEqual(['step-done', 'zero-shifted', 'finished']);
});

it('waits for a log that works, and while the maker has stopped', async () => {
  const rig = await begin(two);
  await pours(rig, 300, 400);
  await rig.tell(stop, pan.moves('bench'), pan.emptiesBy('bench', -0.3));
  expect([rig.state, told(rig).length]).toEqual(['paused', 0]);
  rig.failWith('The disk is full.');
  await rig.tell(yes);
  expect(rig.state).toBe('logFailed');
  rig.failWith(undefined);
  await rig.tell(yes);
  expect(told(rig)).toHaveLength(1);
  expect(rig.state).toBe('placing');
});

it('what was given up meanwhile needs no doubt', async () => {
  const rig = await begin(same);
  await pours(rig, 300, 400);
  await rig.tell(stop, pan.moves('bench'), pan.emptiesBy('bench', -0.3), giveUp, yes);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'given-up', draws: ['A1', 'A2'] });
  expect(told(rig)).toEqual([]);
});

it('the jar comes back heavier by what was hidden, and is known all the same', async () => {
  const again = { ...dye, id: 'B2' };
  const rig = await begin([dye, again]);
  await rig.tell(pan.settles('fine', 80), pan.moves('fine'), pan.settles('fine', 79.2), pan.dwells('fine', 79.2));
  await rig.tell(pan.moves('fine'), pan.emptiesBy('fine', -0.08), pan.moves('fine'), pan.settles('fine', 79.28));
  await rig.tell(pan.dwells('fine', 79.28));
  expect(told(rig)).toHaveLength(1);
  expect(standing(rig.snapshot.context)).toBe('right');
  // Nothing was taken for the second draw yet, so it begins from what the jar weighs now.
  expect(rig.written.at(-1)).toMatchObject({ kind: 'placed', draw: 'B2', load: g(79.28) });
  expect(rig.state).toBe('pouring.under');
});

it('a vessel into which something had gone already keeps its beginning; its draw is the less sure for it', async () => {
  const rig = await begin(same);
  await pours(rig, 300, 400);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 401), pan.moves('bench'), pan.emptiesBy('bench', -2.5));
  await pours(rig, 403.5, 500);
  expect(rig.written.at(-1)).toMatchObject({
    kind: 'weighed',
    draw: 'A2',
    before: g(400),
    budget: { drift: 1_443_376 },
  });
});
