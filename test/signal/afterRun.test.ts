import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import {
  afterRunAt,
  learnAfterRun,
  MOST_POURS,
  NO_AFTER_RUN,
  type PourSeen,
  UNKNOWN_AFTER_MS,
} from '../../src/signal/afterRun.ts';

const G = 1_000_000;
/** Stopped at 2 g/s, so that 0.7 g still flow within the reaction of 0.35 s; then so much more came. */
const pour = (beyond: number, flow = 2): PourSeen => ({
  flow: flow * G,
  arrived: mass(100 * G),
  briskest: 12 * G,
  ended: mass(Math.round((100 + flow * 0.35 + beyond) * G)),
});
const at = (pours: readonly PourSeen[], flow: number) => afterRunAt(learnAfterRun(pours), flow * G);

describe('after-run', () => {
  it('nothing is known before two pours: it is taken for a part of the flow', () => {
    const amount = (2 * G * UNKNOWN_AFTER_MS) / 1000;
    expect(afterRunAt(NO_AFTER_RUN, 2 * G)).toEqual({ amount, scatter: 0, isKnown: false });
    expect(at([pour(1.5)], 2).isKnown).toBe(false);
    expect(learnAfterRun([pour(1.5)]).briskest).toBe(0);
  });

  it('of two pours the smaller counts, of three the median', () => {
    expect(at([pour(1.5), pour(1.1)], 2).amount).toBeCloseTo(1.1 * G, 0);
    expect(at([pour(1.5), pour(1.1), pour(1.2)], 2)).toMatchObject({ isKnown: true });
    expect(at([pour(1.5), pour(1.1), pour(1.2)], 2).amount).toBeCloseTo(1.2 * G, 0);
  });

  it('one odd pour turns nothing', () => {
    const usual = [1.4, 1.5, 1.6, 1.5].map((each) => pour(each));
    expect(at([...usual, pour(40)], 2).amount).toBeCloseTo(1.5 * G, 0);
    expect(at([...usual, pour(-30)], 2).scatter).toBeLessThan(0.6 * G);
  });

  it('goes by pours that were stopped at about the same flow', () => {
    const pours = [pour(0.8, 1.5), pour(0.9, 1.6), pour(4, 12), pour(5, 13), pour(4.5, 12)];
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
