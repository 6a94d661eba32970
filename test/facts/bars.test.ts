import { describe, expect, it } from 'vitest';
import { planned, stateOf } from '../../src/facts/apply.ts';
import { barsOf, lotOf, mixLeft, nextBar } from '../../src/facts/bars.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { aPlan, BATCH, g, sealed } from '../weighing/samplePlan.ts';
import { aBar, barsBegin, sampleBars } from './sampleBars.ts';

const told = (happened: readonly Happened[]) => barsOf(sealed(happened));
const numbers = (happened: readonly Happened[]) => {
  const bars = told(happened);
  return bars === null ? null : lotOf(bars).map(({ bar }) => bar);
};

describe('bars by their facts', () => {
  it('there are none before they are begun, whatever else the facts say', () => {
    expect(told([])).toBeNull();
    expect(told([{ kind: 'finished' }, aBar(1, 75), { kind: 'portioning-ended' }])).toBeNull();
  });

  it('a pulled bar stays in the log and leaves the lot; a short one was never in it', () => {
    const bars = told(sampleBars());
    expect(bars?.bars.map(({ bar }) => bar)).toEqual([1, 2, 3, 4, 5, 6]);
    expect(numbers(sampleBars())).toEqual([1, 3, 4, 5]);
    expect(bars?.bars[1]).toMatchObject({ net: g(74.8), verdict: 'in', pulled: 'a corner broke off', back: true });
    expect(bars?.bars[3]).toMatchObject({ pressed: 2, jams: 1 });
    expect(bars?.bars[0]?.again).toMatchObject([{ net: g(71.7), scale: 'bench' }]);
    expect(bars).toMatchObject({ setPoint: g(75), low: g(73.5), high: g(76.5), label: g(70), mix: g(450) });
    expect(bars?.ended).not.toBeNull();
  });

  it('what is left of the mix: without what was weighed off, with what was put back', () => {
    const some = told([barsBegin, aBar(1, 75.1), aBar(2, 74.8)]);
    expect(some && mixLeft(some)).toBe(g(300.1));
    const back = told([barsBegin, aBar(1, 75.1), { kind: 'bar-pulled', bar: 1, reason: 'x', back: true }]);
    expect(back && mixLeft(back)).toBe(g(450));
    const gone = told([barsBegin, aBar(1, 75.1), { kind: 'bar-pulled', bar: 1, reason: 'x', back: false }]);
    expect(gone && mixLeft(gone)).toBe(g(374.9));
    const all = told(sampleBars()); // 450 - 75.1 - 77.2 - 75.4 - 74.9 - 68.3 - 75.3 - 2.1
    expect(all && mixLeft(all)).toBe(g(1.7));
  });

  it('numbers are never given twice, and the count goes on after a stop, by the newest set-point', () => {
    const pulledLast: Happened = { kind: 'bar-pulled', bar: 2, reason: 'x', back: true };
    const again: Happened = { ...barsBegin, setPoint: g(74.6), mix: null } as Happened;
    const bars = told([barsBegin, aBar(1, 75), aBar(2, 75), pulledLast, { kind: 'portioning-ended' }, again]);
    expect(bars && nextBar(bars)).toBe(3);
    expect(bars).toMatchObject({ setPoint: g(74.6), mix: g(450), ended: null });
    expect(bars?.bars).toHaveLength(2);
  });

  it('facts of a bar that was never counted change nothing', () => {
    const none: Happened[] = [
      { kind: 'bar-pulled', bar: 9, reason: 'x', back: false },
      { kind: 'bar-pressed', bar: 9, why: 'again' },
      { kind: 'bar-weighed-again', bar: 9, net: g(70), scale: 'bench', uncertainty: g(0.1) },
    ];
    expect(told([barsBegin, aBar(1, 75), ...none])).toEqual(told([barsBegin, aBar(1, 75)]));
  });

  it('they come after the end of a batch, and change nothing of how it ended', () => {
    const plan = aPlan();
    const done: Happened[] = [{ kind: 'batch-started', plan }, { kind: 'finished' }];
    const before = stateOf(sealed(done));
    const state = stateOf(sealed([...done, ...sampleBars()]));
    expect(state).toEqual({ ...before, seq: done.length + sampleBars().length });
    expect(state).toEqual({ ...planned(BATCH, plan), ended: 'finished', seq: state.seq });
  });
});
