/** A typed display value: only what can stand on that display. */
import { expect, test, vi } from 'vitest';
import { createControls } from '../../src/screen/fill/controls.ts';
import { pan, startChart } from '../weighing/chartRig.ts';
import { gathered } from '../weighing/chartWalks.ts';
import { aDraw, aPlan, g } from '../weighing/samplePlan.ts';

test('a number finer than the steps of the scale is refused, as two that ran into one are', async () => {
  const rig = await startChart([gathered], aPlan([aDraw('A1')]));
  await rig.tell(pan.empties('bench'));
  const keyed = vi.fn();
  const controls = createControls({
    station: {
      answer: () => {},
      declareEmpty: () => {},
      returned: async () => {},
      keyed,
      snapshot: () => rig.snapshot,
    },
    clock: { now: () => 0, setTimeout: () => 0, clearTimeout: () => {} },
    onLeave: () => {},
  });
  expect(controls.typed('450,1750')).toBe(
    "The bench scale shows steps of 0.100 g: 450,1750 can't stand there. Nothing was taken over; type it again.",
  );
  expect(controls.typed('four')).toMatch(/no weight in grams/);
  expect(keyed).not.toHaveBeenCalled();
  expect(controls.typed('450,1')).toBeUndefined();
  expect(keyed).toHaveBeenCalledWith('bench', g(450.1));
});
