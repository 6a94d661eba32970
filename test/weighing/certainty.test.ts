/** What the check of a scale and a moved zero do to the uncertainty that a weight is recorded with. */
import { describe, expect, it } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { type PanEvent, panEvent } from '../../src/weighing/events.ts';
import { pan, startChart, yes } from './chartRig.ts';
import { AT, aDraw, aPlan, g, placing } from './samplePlan.ts';

const first = aDraw('A1');
const plan = aPlan([first]);
const checked: Happened = {
  kind: 'scales-stand',
  scales: { bench: { checkedAt: AT, passed: true, slopePpm: 1000, repeatability: g(0.06) } },
};

async function weighedAfter(happened: readonly Happened[], shift?: number) {
  const rig = await startChart([{ kind: 'gathered' }, ...happened, placing(first, g(400))], plan);
  if (shift !== undefined) {
    const zero = g(shift);
    await rig.tell(panEvent({ kind: 'emptied', scale: 'bench', at: 0, zero, shift: zero }));
  }
  await rig.tell(pan.settles('bench', 400), pan.settles('bench', 500), yes);
  const fact = rig.written.find(({ kind }) => kind === 'weighed');
  if (fact?.kind !== 'weighed') throw new Error(`nothing was weighed in ${rig.state}`);
  return fact;
}

describe('the uncertainty of an accepted weight', () => {
  it('is what was planned, where nothing more is known', async () => {
    // d = 0.1 g, s = 0.05 g: 0.1 / sqrt 6 and 0.05 sqrt 2, expanded 0.1633 g.
    expect(await weighedAfter([])).toMatchObject({
      uncertainty: 163_300,
      budget: { rounding: 40_825, repeatability: 70_711, drift: 0, check: 0 },
    });
  });

  it('takes in what a check of an older log found: the larger scatter, and 1000 ppm of 100 g as a rectangular bound', async () => {
    const { budget, uncertainty } = await weighedAfter([checked]);
    // 0.06 sqrt 2 = 84.853 mg; 100 / sqrt 3 = 57.736 mg.
    expect(budget).toEqual({ rounding: 40_825, repeatability: 84_853, drift: 0, check: 57_736 });
    expect(uncertainty / 1000).toBeCloseTo(2 * Math.hypot(40.825, 84.853, 57.735), 2);
  });

  it('takes in what the check found: a series that speaks against what is stated, and 300 ppm of 100 g', async () => {
    const { budget, uncertainty, coverage } = await weighedAfter([
      {
        kind: 'scales-stand',
        scales: {
          bench: {
            checkedAt: AT,
            passed: true,
            slopePpm: 1000,
            slopeStandardPpm: 300,
            repeatability: g(0.12),
            weighings: 5,
          },
        },
      },
    ]);
    // Without its rounding the series is 120^2 - 100^2 / 6 = 112.843^2 mg^2.
    expect(budget).toEqual({ rounding: 40_825, repeatability: 159_585, drift: 0, check: 30_000 });
    // u^2 = 1 667 + 25 467 + 900 mg^2; 4 * u^4 / 28 800^2 = 3.79 degrees of freedom.
    expect(coverage).toBe(2.95);
    expect(uncertainty / 1000).toBeCloseTo(2.95 * Math.hypot(40.825, 159.584, 30), 2);
  });

  it('takes in how far the zero had moved when the empty pan was last read', async () => {
    const { budget } = await weighedAfter([], 0.2);
    expect(budget.drift).toBe(115_471); // 0.2 g / sqrt 3
    expect((await weighedAfter([], 1.5)).budget.drift).toBe(0); // set by a key
  });
});

describe('a batch that was taken up again in the middle of a draw', () => {
  const wide = 3 * 100_000 + 4 * 50_000; // within so much, 3 d + 4 s, a vessel is known again

  async function goesOn(happened: readonly Happened[], ...seen: readonly PanEvent[]) {
    const rig = await startChart([{ kind: 'gathered' }, ...happened], plan);
    await rig.tell(...seen, pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
    const fact = rig.written.find(({ kind }) => kind === 'weighed');
    if (fact?.kind !== 'weighed') throw new Error(`nothing was weighed in ${rig.state}`);
    return fact;
  }

  it('where only the vessel told the zero, the net may be off by as much as that vessel may', async () => {
    const { net, budget, uncertainty } = await goesOn([placing(first, g(300))], pan.settles('bench', 300.3, false));
    expect(budget.drift).toBe(Math.ceil(wide / Math.sqrt(3)));
    // The zero had moved by 0.3 g: 99.7 g went in, and 100 g are recorded.
    expect(uncertainty).toBeGreaterThanOrEqual(net - g(99.7));
  });

  it('not where the empty pan was seen, nor where the draw began with that same zero', async () => {
    const seen = [
      pan.settles('bench', 300.3, false),
      pan.moves('bench'),
      pan.empties('bench'),
      pan.settles('bench', 300),
    ];
    expect(await goesOn([placing(first, g(300))], ...seen)).toMatchObject({ budget: { drift: 0 } });
    const anew = [pan.settles('bench', 300, false), pan.dwells('bench', 300, false, false)];
    expect(await goesOn([], ...anew)).toMatchObject({ budget: { drift: 0 } });
  });
});
