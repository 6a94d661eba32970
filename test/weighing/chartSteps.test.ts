/** Steps, lost scales, a log that can not be written. */
import { describe, expect, it } from 'vitest';
import { again, giveUp, keep, pan, startChart, stop, yes } from './chartRig.ts';
import { check, gathered, melting, stepOf, walks, walkTo } from './chartWalks.ts';
import { aDraw, aPlan, aStep, g, placing, weighing } from './samplePlan.ts';

it.each(Object.entries(walks))('the walk to %s leads there', async (name, walk) => {
  expect((await walkTo(walk)).state).toBe(name);
});

check('step', [
  {
    why: 'starts the clock',
    from: 'step.ready',
    when: [yes],
    to: 'step.running',
    writes: [{ kind: 'step-begun', step: 'A3', burst: 1 }],
  },
  { why: 'the clock is stopped by hand', from: 'step.running', when: [yes], to: 'step.rung' },
  {
    why: 'is done',
    from: 'step.rung',
    when: [yes],
    to: 'ended',
    writes: [{ kind: 'step-done', step: 'A3', bursts: 1 }, { kind: 'finished' }],
  },
  {
    why: 'once more',
    from: 'step.rung',
    when: [again],
    to: 'step.running',
    writes: [{ kind: 'step-begun', burst: 2 }],
  },
  {
    why: 'not more often than it may be',
    from: { ...stepOf({}, melting, { kind: 'step-begun', step: 'A3', burst: 2 }), events: [yes] },
    when: [again],
    to: 'step.rung',
  },
  {
    why: 'without a time it is just done',
    from: stepOf({ forMs: null }),
    when: [yes],
    to: 'ended',
    writes: [{ kind: 'step-done', bursts: 0 }, { kind: 'finished' }],
  },
  { why: 'knows no once more before its time', from: 'step.running', when: [again], to: 'step.running' },
  { why: 'stops', from: 'step.running', when: [stop], to: 'paused' },
  { why: 'stopped and taken up, its time runs anew', from: 'step.running', when: [stop, yes], to: 'step.running' },
]);

check('blind', [
  { why: 'goes on when the scale speaks again', from: 'blind', when: [pan.isFresh('bench')], to: 'placing' },
  { why: 'is still blind in trouble', from: 'blind', when: [pan.isInTrouble('bench')], to: 'blind' },
  { why: 'takes no yes', from: 'blind', when: [yes], to: 'blind' },
  { why: 'stops, and is blind again afterwards', from: 'blind', when: [stop, yes], to: 'blind' },
  {
    why: 'lost in mid-pour and back: both are in the log, and the vessel is looked at again',
    from: 'pouring.under',
    when: [
      pan.isSilent('bench'),
      pan.isFresh('bench'),
      pan.settles('bench', 340, false),
      pan.empties('bench'),
      pan.settles('bench', 340),
    ],
    to: 'pouring.under',
    writes: [{ kind: 'scale-lost' }, { kind: 'scale-back', scale: 'bench', draw: 'A1' }],
  },
]);

describe('time', () => {
  it('rings when the burst is over, not before', async () => {
    const rig = await walkTo(walks['step.running']);
    rig.wait(29_999);
    expect(rig.state).toBe('step.running');
    rig.wait(1);
    expect(rig.state).toBe('step.rung');
  });
});

describe('a log that can not be written', () => {
  it('nothing counts before it is written; the maker tries again, and it is written once', async () => {
    const rig = await walkTo(walks['pouring.inBand']);
    rig.failWith('The disk is full.');
    await rig.tell(yes);
    expect(rig.state).toBe('logFailed');
    expect(rig.snapshot.context.failure).toBe('The disk is full.');
    expect(rig.snapshot.hasTag('hold')).toBe(true);
    expect(rig.snapshot.context.batch.draws.A1?.status).toBe('open');

    await rig.tell(yes);
    expect(rig.state).toBe('logFailed');
    await rig.tell(stop, keep(), giveUp, pan.empties('bench'), pan.settles('bench', 333));
    expect(rig.state).toBe('logFailed');

    rig.failWith(undefined);
    await rig.tell(yes);
    expect(rig.written).toMatchObject([{ kind: 'weighed', net: g(100.5) }]);
    expect(rig.state).toBe('placing');
    expect(rig.snapshot.context.failure).toBeNull();
  });
});

describe('the chart', () => {
  it('takes up an ended batch as ended, an empty plan as finished', async () => {
    expect((await startChart([gathered, { kind: 'abandoned', reason: 'x' }])).state).toBe('ended');
    const empty = await startChart([gathered], aPlan([]));
    expect(empty.written).toMatchObject([{ kind: 'finished' }]);
    expect(empty.state).toBe('ended');
  });

  it('says of a lost scale that it is back also when that comes while it writes', async () => {
    const rig = await walkTo(walks['pouring.under']);
    rig.failWith('no');
    await rig.tell(pan.isSilent('bench'), pan.isFresh('bench'), pan.settles('bench', 350));
    rig.failWith(undefined);
    await rig.tell(yes);
    expect(rig.written.map(({ kind }) => kind)).toEqual(['scale-lost', 'scale-back']);
    expect(rig.state).toBe('pouring.under');
  });

  it('names the scale that is back, though the draw is on another by then', async () => {
    // The cup draw's scale is lost; the maker gives the whole bowl up and begins anew on the bench scale.
    const inBowl = aDraw('A1');
    const log = [
      gathered,
      placing(inBowl, g(300)),
      weighing(inBowl, g(300), g(100)),
      placing(aDraw('A2', { scale: 'fine' }), g(50)),
    ];
    const rig = await startChart(log, aPlan([inBowl, aDraw('A2', { scale: 'fine' }), aStep('A3', 'rest')]));
    await rig.tell(pan.settles('fine', 50), pan.isSilent('fine'), stop, giveUp, yes);
    expect(rig.state).toBe('placing');
    await rig.tell(
      pan.isFresh('fine'),
      pan.empties('bench'),
      pan.settles('bench', 300),
      pan.settles('bench', 400),
      yes,
    );
    expect(rig.written).toContainEqual(expect.objectContaining({ kind: 'scale-back', scale: 'fine' }));
  });
});
