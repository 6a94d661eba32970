/** What the maker reads and can press in a hold: take back first, then what else is open, and what each would cost. */
import { expect, test } from 'vitest';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { createControls } from '../../src/screen/fill/controls.ts';
import { liveViewOf } from '../../src/screen/fill/live.ts';
import { largeNumber } from '../../src/screen/shownNumbers.ts';
import type { BenchView } from '../../src/screen/view.ts';
import { NOTHING_TOLD } from '../../src/weighing/pourWatch.ts';
import type { Live } from '../../src/weighing/station.ts';
import { createFakeClock } from '../fakeClock.ts';
import { BATCH_DAY, demo, demoFormula, drawOf, planOf } from '../plan/fixtures.ts';
import { walkTo } from '../rescue/walkTo.ts';
import { type FindRescue, pan, type Rig, startChart } from '../weighing/chartRig.ts';
import { g } from '../weighing/samplePlan.ts';

const plan = planOf(demo, demoFormula);

/** The demo batch, up to a draw that rests on its pan with so much in it. */
async function holding(ingredient: string, grams: number, find?: FindRescue) {
  const draw = drawOf(plan, ingredient);
  const { facts, state } = walkTo(plan, draw.id, g(grams));
  const usual: FindRescue = async ({ batch, held }) =>
    planRescue({
      workshop: demo,
      formula: demoFormula,
      state: batch,
      held,
      used: stockUsed(facts, demo),
      today: BATCH_DAY,
    });
  const rig = await startChart(facts, plan, find ?? usual);
  const scale = draw.scale === 'fine' ? 'fine' : 'bench';
  const base = (state.draws[draw.id]?.base ?? 0) / 1e6;
  const load = draw.way === 'subtract' ? base - grams : base + grams;
  await rig.tell(pan.empties(scale), pan.settles(scale, load));
  expect(rig.state).toBe('hold.open');
  return { rig, scale, load, controls: controlsAt(rig) } as const;
}

function controlsAt(rig: Rig) {
  let answered: Promise<void> = Promise.resolve();
  const station = {
    answer: (answer: Parameters<Rig['tell']>[0]) => {
      answered = rig.tell(answer);
    },
    declareEmpty: () => {},
    keyed: () => {},
    snapshot: () => rig.snapshot,
  };
  const controls = createControls({ station, clock: createFakeClock(), onLeave: () => {} });
  return { ...controls, done: () => answered };
}

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
  const { rig, controls } = await holding('shea-butter', 81.7);
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
  await controls.done();
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
  const { rig, controls } = await holding('shea-butter', 81.7);
  controls.press('g');
  await controls.done();
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
