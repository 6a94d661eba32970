/** Who stops, or comes back after an hour, reads where the batch stands: on the screen's small lines and in plain ones. */
import { expect, test } from 'vitest';
import { recapLines } from '../../src/screen/fill/recapWords.ts';
import { pan, startChart, stop } from '../weighing/chartRig.ts';
import { gathered } from '../weighing/chartWalks.ts';
import { aDraw, aPlan, dye, g, melt, oil, placing, weighing } from '../weighing/samplePlan.ts';

const first = aDraw('A1');
const plan = aPlan([first, melt, dye, oil]);
const begun = [gathered, placing(first, g(300))];

test('stopped in a pour: how much is in, what is on each pan', async () => {
  const rig = await startChart(begun, plan);
  await rig.tell(pan.empties('fine'), pan.settles('fine', 30), pan.empties('bench'));
  await rig.tell(pan.settles('bench', 300), pan.moves('bench'), pan.settles('bench', 341.2), stop);
  expect(rig.state).toBe('paused');
  expect(recapLines(rig.snapshot)).toEqual([
    'Draw 1 of 3, Ingredient A1: 41.2 g in, 58.8 g to go.',
    'On the bench scale: Bowl (341.2 g). On the fine scale: Cup (30.00 g).',
  ]);
});

test('meanwhile the vessel was lifted, and the zero had moved by more than an interval', async () => {
  const rig = await startChart(begun, plan);
  await rig.tell(pan.empties('fine'), pan.settles('bench', 341.2), stop, pan.emptiesBy('bench', 0.1));
  expect(recapLines(rig.snapshot).join(' '), 'one interval is nothing').not.toMatch(/zero has moved/);
  await rig.tell(pan.settles('bench', 341.2), pan.emptiesBy('bench', 0.4));
  expect(recapLines(rig.snapshot)).toEqual([
    'Draw 1 of 3, Ingredient A1: begun; what is in shows once Bowl is back.',
    "The bench scale's zero has moved by 0.4 g.",
    'On the bench scale: nothing. On the fine scale: nothing.',
  ]);
});

test('what can not be told is said to be so', async () => {
  const rig = await startChart(begun, plan);
  await rig.tell(pan.settles('bench', 41, false), pan.isSilent('fine'));
  expect(recapLines(rig.snapshot).at(-1)).toBe(
    'On the bench scale: not sure, lift it to see. On the fine scale: not known, it can not be read.',
  );
  const other = await startChart(begun, plan);
  await other.tell(pan.empties('bench'), pan.settles('bench', 77.7), pan.moves('fine'));
  expect(recapLines(other.snapshot).at(-1)).toBe(
    'On the bench scale: 77.7 g of something. On the fine scale: still moving.',
  );
});

test('at a step, and with a cup that is weighed and not tipped', async () => {
  const log = [...begun, weighing(first, g(300), g(100)), { kind: 'step-begun', step: 'A3', burst: 1 } as const];
  const melting = await startChart(log, plan);
  expect(recapLines(melting.snapshot)[0]).toBe('Step "melt": burst 1 of at most 2 was begun.');
  const cup = await startChart([gathered, placing(oil, g(30)), weighing(oil, g(30), g(5))], aPlan([oil]));
  expect(recapLines(cup.snapshot)[0]).toBe('Draw 1 of 1, Ingredient C1: 5.00 g weighed, not yet tipped into Bowl.');
});
