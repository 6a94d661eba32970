import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { shapeOf, type TracePoint } from '../../src/signal/traceShape.ts';

const points = fc
  .array(fc.record({ step: fc.integer({ min: 1, max: 5000 }), net: fc.integer({ min: -1e6, max: 5e9 }) }), {
    minLength: 1,
    maxLength: 80,
  })
  .map((steps): TracePoint[] => {
    let at = 0;
    return steps.map(({ step, net }) => {
      at += step;
      return { at, net: mass(net) };
    });
  });

/** The weight that the kept points tell for a time. */
function told(kept: readonly TracePoint[], at: number): number {
  const after = kept.findIndex((each) => each.at >= at);
  const [from, to] = [kept[Math.max(0, after - 1)], kept[after]];
  if (!from || !to || to.at === from.at) return to?.net ?? Number.NaN;
  return from.net + ((to.net - from.net) * (at - from.at)) / (to.at - from.at);
}

describe('the shape of a line', () => {
  it('keeps points as they were, the ends, and no more than asked for', () => {
    fc.assert(
      fc.property(points, fc.integer({ min: 2, max: 60 }), fc.integer({ min: 0, max: 1e8 }), (all, most, within) => {
        const kept = shapeOf(all, most, within);
        expect(all.filter((each) => kept.includes(each))).toEqual(kept);
        expect([kept[0], kept.at(-1)]).toEqual([all[0], all.at(-1)]);
        expect(kept.length).toBeLessThanOrEqual(Math.max(most, Math.min(2, all.length)));
      }),
    );
  });

  it('is never farther off than asked for, where there are points enough', () => {
    fc.assert(
      fc.property(points, fc.integer({ min: 0, max: 1e8 }), (all, within) => {
        const kept = shapeOf(all, all.length + 1, within);
        for (const { at, net } of all) expect(Math.abs(told(kept, at) - net)).toBeLessThanOrEqual(within + 1e-3);
      }),
    );
  });

  it('a peak stays, whatever trembles around it', () => {
    const all = Array.from({ length: 500 }, (_, at) => ({
      at,
      net: mass(at * 1000 + (at % 2) * 500 + (at === 321 ? 4e6 : 0)),
    }));
    expect(shapeOf(all, 5, 0).map(({ at }) => at)).toContain(321);
    expect(shapeOf(all, 60, 1000)).toHaveLength(5); // the ends, the peak, and where it begins and ends
  });
});
