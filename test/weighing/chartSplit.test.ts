/** A draw that ends early: the lot is empty, no more fits; and a weight that a second person has to see. */
import { describe, expect, it } from 'vitest';
import { apply, planned } from '../../src/facts/apply.ts';
import { contentOf } from '../../src/facts/combine.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { full, lotEnded, otherLot, pan, seen, startChart, stop, undo, yes } from './chartRig.ts';
import { gathered } from './chartWalks.ts';
import { aDraw, aPlan, aStep, BATCH, g, oil, placing, sealed, weighing } from './samplePlan.ts';

const powder = aDraw('A1', { otherLots: [{ id: 'lot A2.3', onHand: g(900) }] });
const begun = async (draw = powder, more: Parameters<typeof aPlan>[0] = []) => {
  const rig = await startChart([gathered, placing(draw, g(300))], aPlan([draw, ...more]));
  await rig.tell(pan.empties('bench'), pan.settles('bench', 300));
  return rig;
};

describe('the lot is empty', () => {
  it('another lot goes on where it ended; both are in the log, and the parts share the band of the whole', async () => {
    const rig = await begun();
    await rig.tell(pan.moves('bench'), pan.settles('bench', 360), pan.dwells('bench', 360), lotEnded, otherLot());
    expect(rig.written).toMatchObject([
      { kind: 'split', draw: 'A1', why: 'lot-ended', nothingYet: false, rest: { id: 'A1+2', lot: 'lot A2.3' } },
      { kind: 'weighed', draw: 'A1', lot: 'lot A1', net: g(60), lotEnded: true, deviation: null },
      { kind: 'placed', draw: 'A1+2', load: g(360) },
    ]);
    const { batch } = rig.snapshot.context;
    const rest = batch.plan.tasks[1];
    expect(rest?.kind === 'draw' && wanted(batch, rest)).toMatchObject({ target: g(40), low: g(38), high: g(42) });
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.written.slice(3)).toMatchObject([
      { kind: 'weighed', draw: 'A1+2', lot: 'lot A2.3', net: g(40), target: g(40) },
    ]);
    expect(rig.state).toBe('lastLook');
  });

  it('from the start: nothing is recorded of it, all comes from the other', async () => {
    const rig = await begun();
    await rig.tell(pan.dwells('bench', 300), lotEnded, otherLot());
    expect(rig.written).toMatchObject([
      { kind: 'split', nothingYet: true, rest: { target: g(100) } },
      { kind: 'placed' },
    ]);
    expect(rig.snapshot.context.batch.draws.A1).toMatchObject({ status: 'done', net: 0 });
  });

  it('and again, when the next one ends as well', async () => {
    const third = { id: 'lot A2.4', onHand: g(50) };
    const draw = { ...powder, otherLots: [...(powder.otherLots ?? []), third] };
    const rig = await begun(draw);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 330), pan.dwells('bench', 330), lotEnded, otherLot());
    await rig.tell(
      pan.moves('bench'),
      pan.settles('bench', 350),
      pan.dwells('bench', 350),
      lotEnded,
      otherLot('lot A2.4'),
    );
    expect(rig.snapshot.context.batch.plan.tasks.map(({ id }) => id)).toEqual(['A1', 'A1+2', 'A1+3']);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 401), pan.dwells('bench', 401));
    expect(rig.written.filter(({ kind }) => kind === 'weighed')).toMatchObject([
      { net: g(30) },
      { net: g(20) },
      { net: g(51), target: g(50), low: g(48), high: g(52) },
    ]);
  });

  it('no lot that the plan does not know', async () => {
    const rig = await begun();
    await rig.tell(
      pan.moves('bench'),
      pan.settles('bench', 360),
      pan.dwells('bench', 360),
      lotEnded,
      otherLot('made up'),
    );
    expect(rig.state).toBe('short');
  });
});

describe('no more fits', () => {
  it('the rest goes into a second vessel, and both are emptied together', async () => {
    const emptied = aStep('A2', 'combine', { vessel: 'bowl', into: 'jar' });
    const rig = await begun(powder, [emptied]);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 370), pan.dwells('bench', 370), full);
    expect(rig.written).toMatchObject([
      { kind: 'split', why: 'full', newVessel: { id: 'bowl+2', name: 'second Bowl' }, rest: { on: 'bowl+2' } },
      { kind: 'weighed', draw: 'A1', net: g(70), lotEnded: false },
    ]);
    expect(rig.state).toBe('placing');
    await rig.tell(
      pan.moves('bench'),
      pan.empties('bench'),
      pan.moves('bench'),
      pan.settles('bench', 250),
      pan.dwells('bench', 250),
      yes,
    );
    expect(rig.written.at(-1)).toMatchObject({ kind: 'placed', vessel: 'bowl+2', unusual: true, load: g(250) });
    await rig.tell(pan.moves('bench'), pan.settles('bench', 280), pan.dwells('bench', 280));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', draw: 'A1+2', vessel: 'bowl+2', net: g(30) });
    await rig.tell(yes);
    expect(contentOf(rig.snapshot.context.batch, 'jar')).toBe(g(100));
  });

  it('a rest that proved not to be needed is not asked for once the vessel was emptied, whatever stuck to it', async () => {
    const rig = await begun(powder, [aStep('B1', 'combine', { vessel: 'bowl', into: 'beaker' })]);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 370), pan.dwells('bench', 370), full, undo, yes);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.written.at(-1)).toMatchObject({ kind: 'weighed', draw: 'A1', net: g(100) });
    await rig.tell(pan.moves('bench'), pan.empties('bench'), pan.moves('bench'));
    await rig.tell(pan.settles('bench', 303), pan.dwells('bench', 303));
    expect(rig.written.slice(-2)).toMatchObject([{ weighedBack: { residue: g(3) } }, { kind: 'finished' }]);
  });

  it('a full cup is tipped, and the rest is drawn into it again', async () => {
    const rig = await startChart([gathered, placing(oil, g(30))], aPlan([oil]));
    await rig.tell(pan.empties('fine'), pan.settles('fine', 30), pan.moves('fine'), pan.settles('fine', 33), full);
    expect(rig.state).toBe('tipping.waiting');
    await rig.tell(pan.moves('fine'), pan.settles('fine', 30.02), pan.dwells('fine', 30.02));
    expect(rig.state).toBe('pouring.under');
    await rig.tell(pan.moves('fine'), pan.settles('fine', 32.02), pan.dwells('fine', 32.02));
    expect(rig.written.filter(({ kind }) => kind === 'weighed')).toMatchObject([
      { draw: 'C1', net: g(3) },
      { draw: 'C1+2', net: g(2), target: g(2.02), low: g(1.82), high: g(2.12) }, // what stayed in the cup is missing
    ]);
  });

  it('is no answer once enough is in, nor for a jar', async () => {
    const rig = await begun();
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), full);
    expect(rig.written).toEqual([]);
  });

  it('a split of a draw that is not in the plan changes nothing', () => {
    const before = planned(BATCH, aPlan([powder]));
    const rest = aDraw('Z9+2');
    const after = sealed([{ kind: 'split', draw: 'Z9', why: 'full', nothingYet: true, rest, newVessel: null }]).reduce(
      apply,
      before,
    );
    expect(after.plan).toEqual(before.plan);
    expect(after.draws).toEqual(before.draws);
  });
});

describe('a witness', () => {
  const watched = aDraw('A1', { witness: true });

  it('has to see the weight before it counts, and is in the log', async () => {
    const rig = await begun(watched);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.state).toBe('witnessing');
    expect(rig.written).toEqual([]);
    await rig.tell(yes, seen('Someone'));
    expect(rig.written, 'nobody is their own witness, and Enter is no witness').toEqual([]);
    await rig.tell(seen('Ann Other'));
    expect(rig.written[0]).toMatchObject({ kind: 'weighed', net: g(100), witness: 'Ann Other' });
  });

  it('sees the very weight that was decided on: whatever moves meanwhile begins it anew', async () => {
    const rig = await begun(watched);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400), pan.moves('bench'));
    expect(rig.state).not.toBe('witnessing');
    await rig.tell(seen(), pan.settles('bench', 401), pan.dwells('bench', 401));
    expect(rig.written).toEqual([]);
    await rig.tell(seen());
    expect(rig.written[0]).toMatchObject({ kind: 'weighed', net: g(101) });
  });

  it('is not needed where there is no weight to see: a lot that was empty from the start', async () => {
    const rig = await begun({ ...watched, otherLots: [{ id: 'lot A2.3', onHand: g(900) }] });
    await rig.tell(pan.dwells('bench', 300), lotEnded, otherLot());
    expect(rig.written).toMatchObject([
      { kind: 'split', nothingYet: true },
      { kind: 'placed', draw: 'A1+2' },
    ]);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    expect(rig.state, 'the weight out of the other lot is').toBe('witnessing');
  });

  it('may say no', async () => {
    const rig = await begun(watched);
    await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400), stop);
    expect(rig.state).toBe('paused');
    expect(rig.written).toEqual([]);
  });

  it('is not asked again after a restart for what counts already', async () => {
    const rig = await startChart(
      [gathered, placing(watched, g(300)), weighing(watched, g(300), g(100), { witness: 'Ann Other' })],
      aPlan([watched]),
    );
    expect(rig.written).toMatchObject([{ kind: 'finished' }]);
  });
});
