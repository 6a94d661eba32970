/** What the maker reads and can press in a hold: take back first, then what else is open, and what each would cost. */
import { expect, test } from 'vitest';
import { liveViewOf } from '../../src/screen/fill/live.ts';
import { largeNumber } from '../../src/screen/shownNumbers.ts';
import type { BenchView } from '../../src/screen/view.ts';
import { NOTHING_TOLD } from '../../src/weighing/pourWatch.ts';
import type { Live } from '../../src/weighing/station.ts';
import { pan } from '../weighing/chartRig.ts';
import { g } from '../weighing/samplePlan.ts';
import { holding } from './holding.ts';

const keys = ({ choices }: BenchView) => choices.map(({ key, label }) => `${key} ${label}`);

test('best first: take back, in words; scale up, keep, give up', async () => {
  const { controls } = await holding('shea-butter', 81.7);
  const view = controls.view();
  expect(view).toMatchObject({
    headline: 'STOP',
    say: '6.0 g too much. Take at least that back out of Melt jug, steel.',
  });
  expect(keys(view)).toEqual([
    expect.stringMatching(/^s scale up: at least \d+\.\d g more in all$/),
    'k keep it, for a reason',
    'g give up this vessel, 3 to weigh again',
    'x stop, something is wrong',
  ]);
});

test('each size on a line of its own; then all that it takes, and only then the yes', async () => {
  const { rig, controls, done } = await holding('shea-butter', 81.7);
  expect(controls.press('s')).toBe(true);
  expect(keys(controls.view())).toEqual([
    '1 1.0791 times as much, within bands: 146.8 g more, top up two',
    '2 26 bars instead of 24, within bands: 154.6 g more, top up two',
    '3 1.1007 times as much, exact shares: 186.8 g more, top up two',
    '4 27 bars instead of 24, exact shares: 232.0 g more, top up two',
    'x no, go back',
  ]);
  controls.press('2');
  const { headline, say, list = [] } = controls.view();
  expect([headline, say]).toEqual([
    'SCALE UP?',
    '26 bars instead of 24: every ingredient within its band, 154.6 g more in all.',
  ]);
  expect(list.slice(0, 4)).toEqual([
    { heading: 'To top up, right after this' },
    { name: 'Cetearyl alcohol, flakes', note: 'CA-2207', amount: expect.stringMatching(/^\+ \d+\.\d g$/) },
    { name: 'Glyceryl stearate, flakes', note: 'GS-118', amount: expect.stringMatching(/^\+ \d+\.\d g$/) },
    { heading: 'Larger from now on' },
  ]);
  expect(keys(controls.view())).toEqual(['Enter yes, scale up', 'x no, go back']);
  controls.press('x');
  controls.press('2');
  controls.press('enter');
  await done();
  expect(rig.written.map(({ kind }) => kind)).toEqual(['rescued']);
  expect(controls.view().headline).toBe('READY');
});

test('a page stays open while the number trembles, and no yes is heard; at another weight it closes', async () => {
  const { rig, controls, scale, load } = await holding('shea-butter', 81.7);
  controls.press('s');
  controls.press('1');
  await rig.tell(pan.moves(scale));
  controls.note(rig.snapshot);
  expect([controls.view().headline, ...keys(controls.view())]).toEqual(['SCALE UP?', 'x no, go back']);
  await rig.tell(pan.settles(scale, load - 2));
  controls.note(rig.snapshot);
  expect(controls.view()).toMatchObject({ headline: 'STOP', say: expect.stringMatching(/^4\.0 g too much/) });
});

test('no, because', async () => {
  const { controls } = await holding('glycerin', 75);
  const { detail } = controls.view();
  expect(detail).toEqual([
    expect.stringMatching(/^No scale-up: Liquids beaker, glass holds 320 ml, and \d+ ml would be in it\.$/),
  ]);
  expect(keys(controls.view()).some((key) => key.startsWith('s '))).toBe(false);
  expect(controls.press('s')).toBe(false);
});

test('what may never be over has no key to keep it', async () => {
  const { controls } = await holding('lactic-acid', 7.9);
  expect(controls.view().detail[0]).toBe('It may never be over: it can not be kept so.');
  expect(keys(controls.view()).some((key) => key.startsWith('k '))).toBe(false);
  expect(controls.press('k')).toBe(false);
});

test('giving up names what is lost', async () => {
  const { rig, controls, done } = await holding('shea-butter', 81.7);
  controls.press('g');
  await done();
  controls.note(rig.snapshot);
  expect(controls.view().detail).toEqual([
    'To be weighed again: Cetearyl alcohol, flakes, Glyceryl stearate, flakes, Shea butter, refined, chunks.',
  ]);
});

test('the large number is what has to come out again, and goes down as it does', async () => {
  const { rig, scale, load } = await holding('shea-butter', 81.7);
  const shows = (net: number, settled: boolean) => {
    const live: Live = {
      scale,
      gross: g(load),
      load: g(load),
      zeroKnown: true,
      net: g(net),
      fresh: true,
      settled,
      trouble: undefined,
      flow: 0,
      told: NOTHING_TOLD,
      refused: 0,
      lastRefused: undefined,
    };
    const number = largeNumber(liveViewOf(rig.snapshot, { live: () => live }));
    return [number?.text, number?.caption];
  };
  expect(shows(81.7, true)).toEqual(['6.0', ' TAKE BACK OUT ']);
  await rig.tell(pan.moves(scale));
  expect(shows(78.2, false)).toEqual(['2.5', ' TAKE BACK OUT ']);
  expect(shows(75.8, false)).toEqual(['0.1', ' TAKE BACK OUT ']);
  expect(shows(75.7, false)).toEqual(['-1.5', 'over the target']);
});
