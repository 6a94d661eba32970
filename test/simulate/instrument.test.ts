import { describe, expect, test } from 'vitest';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import { createInstrument, type InstrumentSettings, type Shown } from '../../src/simulate/instrument.ts';
import { intervalIn } from '../../src/simulate/interval.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

const g = (grams: number): Mass => mass(Math.round(grams * 1e6));
const QUIET: InstrumentSettings = { capacity: g(5000), d: g(0.1), noise: ZERO };

function setUp(settings: Partial<InstrumentSettings> = {}, seed = 3) {
  let load: Mass = ZERO;
  const instrument = createInstrument({ ...QUIET, ...settings }, () => load, seededRandom(seed));
  return {
    instrument,
    put(grams: number) {
      load = g(grams);
    },
  };
}

const shownMass = ({ number, unit }: Shown): Mass => toMicrograms(number.digits, number.scale, unit);
const grams = (shown: Shown | undefined): number => (shown ? shownMass(shown) / 1e6 : Number.NaN);

describe('how it answers', () => {
  test('a first-order lag: after one time constant 63.2 % of a step has come (1 - 1/e)', () => {
    const { instrument, put } = setUp({ lagMs: 500, d: g(0.01), capacity: g(200) });
    instrument.advance(1000);
    put(100);
    const figures = instrument.advance(1500);
    expect(grams(figures.at(-1))).toBeCloseTo(100 * (1 - Math.exp(-1)), 2);
  });

  test('it comes to the true load and shows it on its grid', () => {
    const { instrument, put } = setUp();
    put(296.44);
    expect(grams(instrument.advance(6000).at(-1))).toBe(296.4);
    put(296.46);
    expect(grams(instrument.advance(12_000).at(-1))).toBe(296.5);
  });

  test.each([
    [0.2, 100.15, 100.2],
    [0.5, 100.3, 100.5],
    [1, 100.4, 100],
    [5, 103, 105],
  ])('an interval of %s g', (d, load, shows) => {
    const { instrument, put } = setUp({ d: g(d) });
    put(load);
    expect(grams(instrument.advance(9000).at(-1))).toBe(shows);
  });

  test('it gives as many figures a second as it should, however time is cut', () => {
    const { instrument } = setUp({ perSecond: 5 });
    let figures = 0;
    for (let at = 0; at <= 4000; at += 7) figures += instrument.advance(at).length;
    figures += instrument.advance(4000).length;
    expect(figures).toBe(20);
  });

  test('the same seed gives the same figures, another seed others', () => {
    const run = (seed: number) => {
      const { instrument, put } = setUp({ noise: g(0.2) }, seed);
      put(50);
      return instrument.advance(5000).map(grams);
    };
    expect(run(1)).toEqual(run(1));
    expect(run(1)).not.toEqual(run(2));
  });
});

describe('noise and rounding', () => {
  test('at rest the figures scatter as much as the settings say', () => {
    const { instrument, put } = setUp({ noise: g(0.5), d: g(0.01) });
    put(50);
    instrument.advance(5000);
    const figures = instrument.advance(605_000).map(grams);
    const mean = figures.reduce((sum, figure) => sum + figure, 0) / figures.length;
    const spread = Math.sqrt(figures.reduce((sum, figure) => sum + (figure - mean) ** 2, 0) / (figures.length - 1));
    expect(mean).toBeCloseTo(50, 1);
    expect(spread / 0.5).toBeGreaterThan(0.9);
    expect(spread / 0.5).toBeLessThan(1.1);
  });

  test('the error of rounding has a standard deviation of d / sqrt(12) (JCGM 100:2008, F.2.2.1)', () => {
    const { instrument, put } = setUp({ lagMs: 1 });
    const errors: number[] = [];
    for (let step = 1; step <= 2000; step++) {
      const load = step * 0.3137;
      put(load);
      errors.push(grams(instrument.advance(step * 100).at(-1)) - load);
    }
    const meanSquare = errors.reduce((sum, error) => sum + error ** 2, 0) / errors.length;
    expect(Math.sqrt(meanSquare) / (0.1 / Math.sqrt(12))).toBeCloseTo(1, 1);
  });
});

describe('its word on rest', () => {
  test('settled only after the display has kept within one interval for the settling time', () => {
    const { instrument, put } = setUp({ settleMs: 600 });
    put(100);
    const figures = instrument.advance(6000);
    const first = figures.findIndex(({ stable }) => stable);
    expect(first).toBeGreaterThan(0);
    const since = figures[first]?.at ?? 0;
    const window = figures.filter(({ at }) => at > since - 600 && at <= since).map(grams);
    expect(Math.max(...window) - Math.min(...window)).toBeLessThanOrEqual(0.2 + 1e-9);
    expect(figures.slice(first).every(({ stable }) => stable)).toBe(true);
  });

  test('moving again as soon as something is added', () => {
    const { instrument, put } = setUp();
    put(100);
    expect(instrument.advance(6000).at(-1)?.stable).toBe(true);
    put(101);
    expect(instrument.advance(6300).at(-1)?.stable).toBe(false);
  });
});

describe('where it shows no weight', () => {
  test.each([
    [5000.9, undefined],
    [5001.1, 'over-range'],
    [-4999, undefined],
    [-5001, 'under-range'],
  ])('%s g on 5000 g with d = 0.1 g: %s', (load, condition) => {
    const { instrument, put } = setUp();
    put(load);
    const last = instrument.advance(10_000).at(-1);
    expect(last?.condition).toBe(condition);
    if (condition) expect(last?.stable).toBe(false);
  });
});

describe('its habits', () => {
  test('it switches itself off after the idle time, and shows nothing then', () => {
    const { instrument, put } = setUp({ sleepsAfterMs: 180_000 });
    put(63.2);
    expect(instrument.advance(170_000).length).toBeGreaterThan(0);
    instrument.advance(200_000);
    expect(instrument.on).toBe(false);
    expect(instrument.shown).toBeUndefined();
    expect(instrument.advance(300_000)).toEqual([]);
  });

  test('a load that changes keeps it awake; one that creeps looks idle', () => {
    const awake = setUp({ sleepsAfterMs: 10_000 });
    const creeping = setUp({ sleepsAfterMs: 10_000 });
    for (let second = 1; second <= 60; second++) {
      awake.put(second);
      awake.instrument.advance(second * 1000);
      creeping.put(second * 0.01);
      creeping.instrument.advance(second * 1000);
    }
    expect(awake.instrument.on).toBe(true);
    expect(creeping.instrument.on).toBe(false);
  });

  test('woken under a load it takes that as zero: the empty pan then shows less than nothing', () => {
    const { instrument, put } = setUp();
    put(296.4);
    instrument.advance(5000);
    instrument.pressOff();
    instrument.advance(6000);
    instrument.pressOn();
    expect(grams(instrument.advance(8000).at(-1))).toBe(0);
    put(0);
    expect(grams(instrument.advance(14_000).at(-1))).toBe(-296.4);
  });

  test('the zero key makes the present load nothing', () => {
    const { instrument, put } = setUp();
    put(10);
    instrument.advance(5000);
    instrument.pressZero();
    expect(grams(instrument.advance(6000).at(-1))).toBe(0);
    put(12);
    expect(grams(instrument.advance(12_000).at(-1))).toBe(2);
  });

  test('zero tracking swallows a slow addition, and without it nothing is lost', () => {
    const run = (zeroTracking: boolean): number => {
      const { instrument, put } = setUp({ zeroTracking });
      for (let second = 1; second <= 120; second++) {
        put(second * 0.01); // 0.1 d per second; a scale may track up to 0.5 d per second (OIML R 76-1, T.2.7.3)
        instrument.advance(second * 1000);
      }
      return grams(instrument.advance(125_000).at(-1));
    };
    expect(run(false)).toBe(1.2);
    expect(run(true)).toBe(0);
  });

  test('the unit key goes round; switching on comes back to the first unit', () => {
    const { instrument, put } = setUp({ units: ['g', 'oz'], d: g(0.01) });
    put(28.349523125); // 1 oz, NIST Handbook 44 appendix C
    instrument.advance(5000);
    instrument.pressUnit();
    const inOunces = instrument.advance(6000).at(-1);
    expect(inOunces).toMatchObject({ unit: 'oz', number: { digits: 10_000n, scale: 4 } });
    instrument.pressUnit();
    expect(instrument.advance(7000).at(-1)?.unit).toBe('g');
    instrument.pressUnit();
    instrument.pressOff();
    instrument.pressOn();
    expect(instrument.advance(8000).at(-1)?.unit).toBe('g');
  });

  test('keys do nothing while it is off', () => {
    const { instrument } = setUp({ units: ['g', 'oz'] });
    instrument.pressOff();
    instrument.pressUnit();
    instrument.pressZero();
    expect(instrument.advance(1000)).toEqual([]);
  });
});

// OIML R 76-1: scale intervals take the form 1, 2 or 5 x 10^k.
test.each([
  ['g', 0.1, 1, 1],
  ['g', 0.05, 5, 2],
  ['g', 2, 2, 0],
  ['kg', 0.1, 1, 4],
  ['mg', 0.1, 100, 0],
  ['oz', 0.01, 5, 4],
  ['oz', 0.1, 5, 3],
  ['lb', 0.1, 5, 4],
  ['gr', 0.01, 2, 1],
] as const)('in %s a scale with d = %s g counts in %s x 10^-%s', (unit, d, digits, scale) => {
  expect(intervalIn(unit, g(d))).toMatchObject({ digits, scale });
});
