import { expect, test } from 'vitest';
import { barsOf } from '../../src/facts/bars.ts';
import { missingAtEnd, mixOf, runningOf } from '../../src/portion/running.ts';
import { aBar, barsBegin } from '../facts/sampleBars.ts';
import { sealed } from '../weighing/samplePlan.ts';
import { aim, g } from './rig.ts';

function running(nets: readonly number[]) {
  const bars = barsOf(sealed([barsBegin, ...nets.map((net, index) => aBar(index + 1, net))]));
  if (!bars) throw new Error('no bars');
  return runningOf(bars, aim, g(0.1));
}

test('count, mean, spread, and bars still to come of 450 g of mix', () => {
  expect(running([])).toEqual({ count: 0, mean: undefined, s: undefined, left: g(450), toCome: 6, wanders: null });
  const two = running([75, 76]);
  expect(two).toMatchObject({ count: 2, mean: 75.5e6, left: g(299), toCome: 4 }); // 3 of 75.0, and 74.0 for one more
  expect(two.s).toBeCloseTo(Math.sqrt(0.5) * 1e6, 3);
  expect(running([75, 75, 75, 75, 75]).toCome).toBe(1);
  expect(running([75, 75, 75, 75, 76.5]).toCome).toBe(1); // 73.5 is left: just in the band
  expect(running([75, 75, 75, 75, 76.6]).toCome).toBe(0);
});

test('the aim has wandered when the last bars are off by more than chance', () => {
  expect(running([75.4, 75.5, 75.3, 75.4]).wanders).toBeNull(); // four say little
  expect(running([75.4, 75.5, 75.3, 75.4, 75.4]).wanders).toBe(g(0.4));
  expect(running([74.6, 74.5, 74.7, 74.6, 74.6]).wanders).toBe(g(-0.4));
  expect(running([76, 74.4, 75.9, 74.2, 75.6]).wanders).toBeNull();
  // a hint that was followed goes away
  expect(running([75.6, 75.6, 75.6, 75.6, ...Array(8).fill(75)]).wanders).toBeNull();
});

test('at the end a whole bar that is missing from the mix is noticed, and crumbs that nobody weighed are not', () => {
  const after = (count: number, ended: boolean) => {
    const nets = Array.from({ length: count }, (_, index) => aBar(index + 1, 75));
    const bars = barsOf(sealed([barsBegin, ...nets, ...(ended ? [{ kind: 'portioning-ended' } as const] : [])]));
    if (!bars) throw new Error('no bars');
    return missingAtEnd(bars);
  };
  expect(after(5, true)).toBe(g(75)); // 450 g of mix, one of six missing
  expect(after(6, true)).toBeNull();
  expect(after(5, false)).toBeNull();
});

test('the mix is what reached the vessels less what stuck on the way', () => {
  expect(mixOf({ bowl: g(1850), stuck: g(4) })).toBe(g(1846));
  expect(mixOf({ bowl: g(0), stuck: g(0) })).toBeNull();
});
