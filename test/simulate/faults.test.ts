/** What can go wrong inside a simulated scale. */
import { describe, expect, test } from 'vitest';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import { createInstrument, type InstrumentSettings } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

const g = (grams: number): Mass => mass(Math.round(grams * 1e6));

/** A scale of 5 kg by 0.1 g without noise; figures are in grams. */
function setUp(settings: Partial<InstrumentSettings> = {}) {
  let load: (atMs: number) => Mass = () => ZERO;
  const usual = { capacity: g(5000), d: g(0.1), noise: ZERO };
  const instrument = createInstrument({ ...usual, ...settings }, (at) => load(at), seededRandom(3));
  let now = 0;
  const pass = (ms: number) => {
    now += ms;
    return instrument.advance(now);
  };
  const figure = (): number => Number(instrument.shown?.number.digits) / 10;
  return {
    instrument,
    pass,
    figure,
    put(grams: number) {
      load = () => g(grams);
      pass(5000);
    },
    /** From now on, so many grams more each second, for so long. */
    pour(gramsPerSecond: number, ms: number) {
      const [from, before] = [now, load(now)];
      load = (at) => mass(Math.round(before + gramsPerSecond * 1000 * Math.min(ms, at - from)));
      pass(ms + 3000);
    },
  };
}

describe('a display that freezes on its way', () => {
  test.each([
    ['held', true],
    ['hung', false],
  ] as const)('%s: whether it says that it has settled', (how, says) => {
    const { instrument, put, pour, figure } = setUp();
    put(100);
    instrument.faults.freezesBetween = { low: g(110), high: g(112), how };
    pour(10, 2000);
    expect(figure()).toBeGreaterThanOrEqual(110);
    expect(figure()).toBeLessThanOrEqual(112);
    expect(instrument.shown?.stable).toBe(says);
    instrument.pressOff();
    instrument.pressOn();
    put(300);
    expect(figure()).toBe(180); // alive again; what stood there when it was switched on is its zero
  });
});

test('the tare key keeps the vessel beside the zero, and a zero key clears it', () => {
  const { instrument, put, figure } = setUp();
  put(100);
  instrument.pressTare();
  put(130);
  expect(figure()).toBe(30);
  put(0);
  expect(figure()).toBe(-100);
  instrument.pressZero();
  put(50);
  expect(figure()).toBe(50);
});

describe('zero tracking', () => {
  test('at zero only: a slow drip under a load is seen', () => {
    const { put, pour, figure } = setUp({ zeroTracking: true });
    put(100);
    pour(0.03, 20_000);
    expect(figure()).toBe(100.6);
  });

  test('anywhere: the same drip is swallowed, and the empty pan shows it', () => {
    const { put, pour, figure } = setUp({ zeroTracking: 'anywhere' });
    put(100);
    pour(0.03, 20_000);
    expect(figure()).toBe(100);
    put(0);
    expect(figure()).toBe(-0.6);
  });

  test('anywhere: a pinch at once is seen', () => {
    const { put, figure } = setUp({ zeroTracking: 'anywhere' });
    put(100);
    put(100.4);
    expect(figure()).toBe(100.4);
  });
});

test('it takes what is on it as zero by itself, after so long without a change', () => {
  const { put, pass, figure } = setUp({ zeroesAfterMs: 20_000 });
  put(100);
  pass(10_000);
  expect(figure()).toBe(100);
  pass(10_000);
  expect(figure()).toBe(0);
});

test('under-range begins where its settings say', () => {
  const { put, instrument } = setUp({ lowest: g(20) });
  put(-19);
  expect(instrument.shown?.condition).toBeUndefined();
  put(-21);
  expect(instrument.shown?.condition).toBe('under-range');
});
