/** What comes onto another pan than the present draw's. */
import { expect, it } from 'vitest';
import { elsewhere } from '../../src/weighing/look.ts';
import { pan, startChart, yes } from './chartRig.ts';
import { aPlan, g, oil } from './samplePlan.ts';

/** The cup's draw comes up while something stands on the bench scale. */
async function cupComesUp() {
  const rig = await startChart([], aPlan([oil]));
  await rig.tell(pan.empties('fine'), pan.settles('bench', 200), yes);
  expect(rig.state).toBe('placing');
  return rig;
}

it('is seen although that pan trembled when the cup was recognised', async () => {
  const rig = await cupComesUp();
  await rig.tell(pan.moves('bench'), pan.moves('fine'), pan.settles('fine', 30), pan.dwells('fine', 30));
  expect(rig.state).toBe('pouring.under');
  // Poured into what stands on the bench scale, which has not been at rest since.
  await rig.tell(pan.settles('bench', 205));
  expect(elsewhere(rig.snapshot.context)).toEqual({ scale: 'bench', load: g(5) });
});

it('is not what stood there before the draw came up', async () => {
  const rig = await cupComesUp();
  await rig.tell(pan.settles('fine', 30), pan.dwells('fine', 30));
  expect(rig.state).toBe('pouring.under');
  await rig.tell(pan.moves('bench'), pan.settles('bench', 200));
  expect(elsewhere(rig.snapshot.context)).toBeNull();
});
