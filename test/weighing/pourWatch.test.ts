import { describe, expect, it } from 'vitest';
import { judge } from '../../src/accept/band.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { ZERO } from '../../src/mass/mass.ts';
import { createPourWatch, NOTHING_LEARNT, NOTHING_TOLD, type PourWatch } from '../../src/weighing/pourWatch.ts';
import { aDraw, g } from './samplePlan.ts';

const draw = aDraw('A1');
const aim = { low: draw.low, target: draw.target, high: draw.high, d: g(0.1) };
const base = g(912);

/** 4 g/s up to where `stop` is said, then 1.5 g that still run on, then rest. */
function pour(watch: PourWatch, from = 0): number {
  let [at, net] = [from, 0];
  watch.reading(draw, base, aim, at, ZERO, true);
  while (watch.told('A1').cue !== 'stop') {
    at += 100;
    net += 0.4;
    watch.reading(draw, base, aim, at, g(net), false);
  }
  for (let more = 0; more < 5; more++) {
    at += 100;
    net += 0.3;
    watch.reading(draw, base, aim, at, g(net), false);
  }
  watch.reading(draw, base, aim, at + 1000, g(net), true);
  return net;
}

const accepted = (net: number) =>
  ({ kind: 'weighed', draw: 'A1', ingredient: draw.ingredient, scale: 'bench', net: g(net) }) as unknown as Happened;

describe('the pour of the present draw', () => {
  it('is noted with the accepted weight, and counts for the next at once', () => {
    const watch = createPourWatch(NOTHING_LEARNT);
    const said: number[] = [];
    for (let turn = 0; turn < 3; turn++) {
      const net = pour(watch, turn * 1e6);
      const noted = watch.noted(accepted(net));
      expect(noted.kind === 'weighed' && noted.pour?.stop).toMatchObject({
        ended: g(net),
        briskest: expect.closeTo(4e6, -6),
      });
      said.push(net);
      watch.learn(noted);
    }
    expect(watch.told('A1')).toEqual(NOTHING_TOLD);
    watch.reading(draw, base, aim, 9e6, ZERO, true);
    expect(watch.told('A1').runsOn).toMatchObject({ pours: 3 });
    // Once it is known how this one runs on, it ends in the band.
    expect(judge(g(said[2] ?? 0), aim)).toBe('in');
  });

  it('a lag is noted once, with the next weight of its scale', () => {
    const watch = createPourWatch(NOTHING_LEARNT);
    const step = Array.from({ length: 60 }, (_, index) => {
      return { at: 100 * index, gross: g(912 * (1 - Math.exp(-index / 4))), stable: undefined };
    });
    watch.rested('bench', step, g(0.1));
    const lagOf = (happened: Happened) => (happened.kind === 'weighed' ? happened.pour?.lagMs : undefined);
    const first = watch.noted(accepted(100));
    expect(lagOf(first)).toSatisfy((lag: number) => Math.abs(lag - 400) < 20);
    watch.learn(first);
    expect(lagOf(watch.noted(accepted(100)))).toBeUndefined();
  });

  it('another draw, and a pause, tell nothing', () => {
    const watch = createPourWatch(NOTHING_LEARNT);
    watch.reading(draw, base, aim, 0, ZERO, true);
    expect(watch.told('A1').cue).toBe('ease');
    expect(watch.told('B7')).toEqual(NOTHING_TOLD);
    watch.pause();
    expect(watch.told('A1').cue).toBeNull();
  });
});
