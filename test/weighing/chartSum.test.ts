/** The sum check at the end of a phase. */
import { expect, it } from 'vitest';
import { sumWords } from '../../src/screen/fill/sumWords.ts';
import { keep, pan, startChart, yes } from './chartRig.ts';
import { gathered } from './chartWalks.ts';
import { aDraw, aPlan, aStep, g, oil, placing, weighing } from './samplePlan.ts';

const powder = aDraw('A1');
const sum = aStep('A/sum', 'sum', { vessel: 'bowl' });
const drop = aDraw('A2', { ...oil, id: 'A2', phase: 'A', name: 'Lavender oil' });
const log = [
  gathered,
  placing(powder, g(300)),
  weighing(powder, g(300), g(100)),
  placing(drop, g(30)),
  weighing(drop, g(30), g(5)),
  { kind: 'tipped', draw: 'A2', vessel: 'bowl', residue: g(0), deviation: null } as const,
];
const start = () => startChart(log, aPlan([powder, drop, sum]));
const puts = (grams: number) => [
  pan.empties('bench'),
  pan.moves('bench'),
  pan.settles('bench', grams),
  pan.dwells('bench', grams),
];

it('is passed by itself once the vessel has stood there', async () => {
  const rig = await start();
  expect(rig.state).toBe('summing.waiting');
  await rig.tell(...puts(405).slice(0, 3));
  expect(rig.written).toEqual([]);
  await rig.tell(...puts(405).slice(3));
  expect(rig.written).toMatchObject([
    { kind: 'sum-checked', vessel: 'bowl', expected: g(405), found: g(405), suspects: [], reason: null },
    { kind: 'finished' },
  ]);
});

it('a cup that was never tipped in is named; put right, it is passed', async () => {
  const rig = await start();
  await rig.tell(...puts(400));
  expect(rig.state).toBe('summing.off');
  expect(rig.snapshot.hasTag('hold')).toBe(true);
  expect(sumWords(rig.snapshot)).toMatchObject({
    headline: 'SUM IS OFF',
    say: 'Bowl weighs 5.0 g less than what went in.',
    detail: ['Was Lavender oil never put in?', 'Put it right, or keep it for a reason.'],
  });
  await rig.tell(yes);
  expect(rig.state, 'a reflex Enter does not pass it').toBe('summing.off');
  await rig.tell(pan.moves('bench'), pan.settles('bench', 405.1), pan.dwells('bench', 405.1));
  expect(rig.written).toMatchObject([{ kind: 'sum-checked', found: g(405.1), reason: null }, { kind: 'finished' }]);
});

it('kept as it is for a reason, which is in the log with what it looked like', async () => {
  const rig = await start();
  await rig.tell(...puts(400), keep('the formula can bear it'));
  expect(rig.written[0]).toMatchObject({
    kind: 'sum-checked',
    suspects: [{ what: 'missing', draws: ['A2'] }],
    reason: 'the formula can bear it',
  });
  expect(rig.snapshot.context.batch.vessels.bowl).toMatchObject({ load: g(400), certain: true });
});

it.each([
  ['another vessel', 150],
  ['an empty pan', 0],
])('is not judged by %s', async (_what, grams) => {
  const rig = await start();
  await rig.tell(...(grams === 0 ? [pan.empties('bench')] : puts(grams)));
  expect(rig.state).toBe('summing.waiting');
});

it('can be gone past with a key: it was not weighed', async () => {
  const rig = await start();
  await rig.tell(yes);
  expect(rig.written).toMatchObject([{ kind: 'step-done', step: 'A/sum', how: 'key' }, { kind: 'finished' }]);
});
