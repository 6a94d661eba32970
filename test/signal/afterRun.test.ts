import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import {
  afterRunAt,
  learnAfterRun,
  MOST_POURS,
  NO_AFTER_RUN,
  type PourSeen,
  STREAM_AFTER_MS,
} from '../../src/signal/afterRun.ts';

const G = 1_000_000;
/** Stopped at 2 g/s, so that 0.7 g still flow within the reaction of 0.35 s; then so much more came. */
const pour = (beyond: number, flow = 2): PourSeen => ({
  flow: flow * G,
  arrived: mass(100 * G),
  briskest: 12 * G,
  ended: mass(Math.round((100 + flow * 0.35 + beyond) * G)),
});
const at = (pours: readonly PourSeen[], flow: number) => afterRunAt(learnAfterRun(pours), flow * G, 1);

describe('after-run', () => {
  it('of what was never poured a stream is taken to run on for a part of its flow, and pieces for none', () => {
    const amount = (2 * G * STREAM_AFTER_MS) / 1000;
    expect(afterRunAt(NO_AFTER_RUN, 2 * G, 1)).toMatchObject({ amount, scatter: 0, isKnown: false });
    expect(afterRunAt(NO_AFTER_RUN, 2 * G, 0.5).amount).toBe(amount / 2);
    expect(afterRunAt(NO_AFTER_RUN, 2 * G, 0)).toMatchObject({ amount: 0, isKnown: false });
    expect(afterRunAt(NO_AFTER_RUN, 2 * G, 0).unknown).toBeGreaterThan(0.5 * G);
  });

  it('a single pour is believed by half, and not at all where it is out of all reason', () => {
    expect(at([pour(1.8)], 2)).toMatchObject({ isKnown: false });
    expect(at([pour(1.8)], 2).amount).toBeCloseTo(1.5 * G, 0);
    expect(at([pour(1.8)], 2).unknown).toBeLessThan(afterRunAt(NO_AFTER_RUN, 2 * G, 1).unknown);
    expect(at([pour(40)], 2).amount).toBeLessThan(3 * G);
    expect(at([pour(-40)], 2).amount).toBe(0.6 * G);
    expect(learnAfterRun([pour(1.5)]).briskest).toBe(0);
  });

  it('between two pours the guess decides, of three the median counts', () => {
    // The guess at 2 g/s is 1.2 g.
    expect(at([pour(1.5), pour(1.1)], 2).amount).toBeCloseTo(1.2 * G, 0);
    expect(at([pour(1.5), pour(40)], 2).amount).toBeCloseTo(1.5 * G, 0);
    expect(at([pour(1.5), pour(1.1), pour(1.4)], 2)).toMatchObject({ isKnown: true, unknown: 0 });
    expect(at([pour(1.5), pour(1.1), pour(1.4)], 2).amount).toBeCloseTo(1.4 * G, 0);
  });

  it('one odd pour turns nothing', () => {
    const usual = [1.4, 1.5, 1.6, 1.5].map((each) => pour(each));
    expect(at([...usual, pour(40)], 2).amount).toBeCloseTo(1.5 * G, 0);
    expect(at([...usual, pour(-30)], 2).scatter).toBeLessThan(0.6 * G);
  });

  it('goes by pours that were stopped at about the same flow', () => {
    const pours = [pour(0.8, 1.5), pour(0.8, 1.4), pour(0.9, 1.6), pour(4, 12), pour(5, 13), pour(4.5, 12)];
    expect(at(pours, 1.5).amount).toBeCloseTo(0.8 * G, 0);
    expect(at(pours, 12).amount).toBeCloseTo(4.5 * G, 0);
    // Between and beyond them only the least is known.
    expect(at(pours, 5)).toMatchObject({ isKnown: false });
    expect(at(pours, 5).amount).toBeCloseTo(0.8 * G, 0);
    expect(at(pours, 40)).toMatchObject({ isKnown: false });
  });

  it('drops and pinches count as one flow, however little of them is seen to flow', () => {
    expect(at([pour(0.3, 0), pour(0.4, 0.9), pour(0.35, 0.2)], 0.5)).toMatchObject({ isKnown: true });
  });

  it('forgets what is long ago', () => {
    const old = Array.from({ length: 40 }, () => pour(9));
    const recent = Array.from({ length: MOST_POURS }, () => pour(1));
    expect(at([...old, ...recent], 2).amount).toBeCloseTo(1 * G, 0);
  });
});
