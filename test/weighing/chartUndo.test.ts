/** Taking back what was accepted last: by a key, by putting its vessel back; for a moment only. */
import { describe, expect, it } from 'vitest';
import { pan, type Rig, startChart, stop, undo, yes } from './chartRig.ts';
import { gathered } from './chartWalks.ts';
import { aDraw, aPlan, aStep, dye, g, oil, placing } from './samplePlan.ts';

const first = aDraw('A1');
const second = aDraw('A2');

/** A draw of 100 g is accepted by itself. */
async function accepts(tasks: Parameters<typeof aPlan>[0]): Promise<Rig> {
  const rig = await startChart([gathered, placing(first, g(300))], aPlan(tasks));
  await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'));
  await rig.tell(pan.settles('bench', 400), pan.dwells('bench', 400));
  expect(rig.written[0]).toMatchObject({ kind: 'weighed', draw: 'A1' });
  return rig;
}

describe('by a key', () => {
  it('the draw is open again, nothing is accepted until told, then it goes on from its own base', async () => {
    const rig = await accepts([first, second]);
    expect(rig.state).toBe('pouring.under');
    await rig.tell(undo);
    const [weighed] = rig.written;
    expect(rig.written.at(-1)).toMatchObject({ kind: 'undone', corrects: weighed?.seq, of: 'weighed', how: 'key' });
    expect(rig.state).toBe('paused');
    expect(rig.snapshot.context.batch.draws).toMatchObject({
      A1: { status: 'open', base: g(300) },
      A2: { base: null },
    });
    await rig.tell(pan.dwells('bench', 400));
    expect(rig.state).toBe('paused');
    await rig.tell(pan.moves('bench'), pan.settles('bench', 399), pan.dwells('bench', 399));
    expect(rig.state).toBe('paused');
    await rig.tell(yes);
    expect(rig.written.at(-2)).toMatchObject({ kind: 'weighed', draw: 'A1', net: g(99) });
  });

  it('not once the next has begun to come in, and again when that was taken out', async () => {
    const rig = await accepts([first, second]);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 430), undo);
    expect(rig.written.at(-1)).toMatchObject({ kind: 'placed', draw: 'A2' });
    await rig.tell(pan.moves('bench'), undo);
    expect(rig.state).toBe('pouring.moving');
    await rig.tell(pan.settles('bench', 400), undo);
    expect(rig.written.at(-1)).toMatchObject({ kind: 'undone' });
  });

  it('only for a moment', async () => {
    const rig = await accepts([first, second]);
    rig.wait(20_000);
    await rig.tell(undo);
    expect(rig.state).toBe('pouring.under');
    expect(rig.snapshot.context.batch.draws.A1?.status).toBe('done');
  });

  it('only once: what was before stays', async () => {
    const rig = await accepts([first, second]);
    await rig.tell(undo, undo, pan.moves('bench'), pan.settles('bench', 350), yes, undo);
    expect(rig.written.filter(({ kind }) => kind === 'undone')).toHaveLength(1);
  });

  it('not after a restart', async () => {
    const rig = await accepts([first, second]);
    const again = await startChart([gathered, placing(first, g(300)), ...rig.written], aPlan([first, second]));
    await again.tell(pan.empties('bench'), pan.settles('bench', 400), undo);
    expect(again.written).toEqual([]);
  });

  it('a step that was done too early', async () => {
    const rig = await startChart([gathered], aPlan([aStep('A1', 'check'), first]));
    await rig.tell(yes, undo);
    expect(rig.written).toMatchObject([{ kind: 'step-done' }, { kind: 'undone', of: 'step-done', id: 'A1' }]);
    await rig.tell(yes);
    expect(rig.state).toBe('step.ready');
  });

  it('a cup, while it stands there full; not when it is off to be tipped', async () => {
    const cup = async () => {
      const rig = await startChart([gathered, placing(oil, g(30))], aPlan([oil]));
      await rig.tell(pan.empties('fine'), pan.settles('fine', 30), pan.moves('fine'));
      await rig.tell(pan.settles('fine', 35), pan.dwells('fine', 35));
      expect(rig.state).toBe('tipping.waiting');
      return rig;
    };
    const full = await cup();
    await full.tell(undo);
    expect(full.snapshot.context.batch.draws.C1).toMatchObject({ status: 'open', base: g(30) });
    const off = await cup();
    await off.tell(pan.moves('fine'), pan.empties('fine'), undo);
    expect(off.state).toBe('tipping.waiting');
  });

  it('a tipping: the cup is to be weighed back once more', async () => {
    const rig = await startChart([gathered, placing(oil, g(30))], aPlan([oil, second]));
    await rig.tell(pan.empties('fine'), pan.settles('fine', 30), pan.moves('fine'));
    await rig.tell(pan.settles('fine', 35), pan.dwells('fine', 35), pan.moves('fine'));
    await rig.tell(pan.settles('fine', 30.02), pan.dwells('fine', 30.02), undo);
    expect(rig.written.at(-1)).toMatchObject({ kind: 'undone', of: 'tipped', id: 'C1' });
    expect(rig.snapshot.context.batch.draws.C1).toMatchObject({ status: 'weighed', bowl: null });
    expect(rig.snapshot.context.batch.vessels.bowl).toBeUndefined();
  });
});

describe('by putting its vessel back although another comes next', () => {
  it('takes it back', async () => {
    const rig = await accepts([first, dye]);
    await rig.tell(pan.moves('bench'), pan.empties('bench'), pan.moves('bench'), pan.settles('bench', 400));
    expect(rig.state).toBe('placing');
    await rig.tell(pan.dwells('bench', 400));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'undone', id: 'A1', how: 'put-back' });
    expect(rig.state).toBe('paused');
  });

  it('and the draw keeps the farthest that its zero has moved since it began', async () => {
    const rig = await startChart([gathered], aPlan([first, dye]));
    await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.dwells('bench', 300), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 350), pan.moves('bench'), pan.emptiesBy('bench', 0.8), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 400), pan.dwells('bench', 400), pan.moves('bench'));
    await rig.tell(pan.emptiesBy('bench', 0), pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'undone', id: 'A1' });
    await rig.tell(yes, pan.moves('bench'), pan.emptiesBy('bench', 0), pan.moves('bench'), pan.settles('bench', 400));
    await rig.tell(pan.dwells('bench', 400));
    const drifts = rig.written.flatMap((fact) => (fact.kind === 'weighed' ? [fact.budget.drift] : []));
    expect(drifts, '0.8 g as the bound of a rectangular distribution, both times').toEqual([461_881, 461_881]);
  });

  it.each([
    ['it has never left the pan', [pan.dwells('bench', 400)]],
    ['it weighs otherwise', [pan.empties('bench'), pan.settles('bench', 404), pan.dwells('bench', 404)]],
    [
      'nothing is accepted when the maker stopped',
      [stop, pan.empties('bench'), pan.settles('bench', 400), pan.dwells('bench', 400)],
    ],
  ] as const)('not when %s', async (_why, events) => {
    const rig = await accepts([first, dye]);
    await rig.tell(...events);
    expect(rig.written).toHaveLength(1);
  });
});
