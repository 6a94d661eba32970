/** Station, signal and chart on a simulated scale whose true loads are known, in virtual time. */
import { expect, test } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { mass } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import type { Happening } from '../../src/signal/happening.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { createStation, type Station } from '../../src/weighing/station.ts';
import type { Rhythm, ScaleSource } from '../../src/wire/reading.ts';
import { createFakeClock, type FakeClock } from '../fakeClock.ts';
import { batchAfter } from './chartRig.ts';
import { aDraw, aPlan, BATCH, bench, g, sealed } from './samplePlan.ts';

const STEP_MS = 50;

interface Bench {
  readonly clock: FakeClock;
  readonly station: Station;
  readonly written: Fact[];
  readonly happenings: Happening[];
  /** The true load, micrograms, at a time. */
  truth: (at: number) => number;
  pass(ms: number): Promise<void>;
  readonly state: string;
}

/** One draw of 98 to 102 g into the bowl of 300 g; d = 0.1 g. */
async function aBench(rhythm: Rhythm, lagMs: number, seed: number): Promise<Bench> {
  const clock = createFakeClock();
  const written: Fact[] = [];
  const happenings: Happening[] = [];
  let truth = (_: number): number => 0;
  const instrument = createInstrument(
    { capacity: bench.capacity, d: bench.d, noise: g(0.01), lagMs },
    (at) => mass(Math.round(truth(at))),
    seededRandom(seed),
  );
  let isRunning = true;
  let said: string | undefined;
  const source: ScaleSource = {
    scale: 'bench',
    start(tell) {
      const go = (): void => {
        if (!isRunning) return;
        for (const { at, number, unit, stable } of instrument.advance(clock.now())) {
          const line = `${number.digits}`;
          const isSaid = rhythm !== 'on-settled' || (stable && line !== said);
          if (rhythm === 'on-settled') said = stable ? line : undefined;
          const reading = { mass: toMicrograms(number.digits, number.scale, unit), unit, stable, at, raw: '' };
          if (isSaid) tell({ kind: 'reading', reading });
        }
        clock.setTimeout(go, STEP_MS);
      };
      go();
    },
    stop: async () => {
      isRunning = false;
    },
  };
  const station = createStation({
    batch: batchAfter([{ kind: 'gathered' }], aPlan([aDraw('A1'), aDraw('A2')])),
    scales: [
      {
        signal: {
          scale: 'bench',
          d: bench.d,
          repeatability: bench.repeatability ?? undefined,
          rhythm,
          linesPerSecond: 10,
          unit: 'g',
          unitIsSent: true,
          dwellMs: 1500,
        },
        source,
      },
    ],
    log: {
      async append(batch, _, happened) {
        expect(batch).toBe(BATCH);
        const facts = sealed(happened, written.length + 1);
        written.push(...facts);
        return facts;
      },
    },
    by: 'Mara',
    clock,
    onHappening: (happening) => happenings.push(happening),
  });
  station.start();
  return {
    clock,
    station,
    written,
    happenings,
    get truth() {
      return truth;
    },
    set truth(load) {
      truth = load;
    },
    pass: (ms) => clock.advance(ms),
    get state() {
      return JSON.stringify(station.snapshot().value);
    },
  };
}

const meanOf = (values: readonly number[]): number => values.reduce((sum, each) => sum + each, 0) / values.length;

test('a draw begins from an unbiased weight on a scale that answers slowly, although its first level at rest is low', async () => {
  const d = bench.d;
  const [first, begun]: [number[], number[]] = [[], []];
  for (let seed = 1; seed <= 40; seed++) {
    const bowl = 300e6 + 1e6 * seededRandom(seed * 7919).next();
    const at = await aBench('continuous', 1000, seed);
    await at.pass(2000);
    at.truth = () => bowl;
    await at.pass(25_000);
    const level = at.happenings.find(({ kind }) => kind === 'settled');
    const placed = at.written.find(({ kind }) => kind === 'placed');
    if (level?.kind === 'settled') first.push((level.load - bowl) / d);
    if (placed?.kind === 'placed') begun.push((placed.load - bowl) / d);
    await at.station.stop();
  }
  expect([first.length, begun.length]).toEqual([40, 40]);
  // Rounding alone scatters by d / sqrt 12 = 0.29 d; of the mean of 40 that is 0.046 d.
  expect(meanOf(first)).toBeLessThan(-0.4);
  expect(Math.abs(meanOf(begun))).toBeLessThan(0.15);
});

test('a pour that goes on before the weight has stood long enough is counted all the same', async () => {
  const at = await aBench('continuous', 150, 7);
  await at.pass(2000);
  at.truth = () => 300e6;
  for (let waited = 0; waited < 10_000 && !at.happenings.some(({ kind }) => kind === 'settled'); waited += STEP_MS) {
    await at.pass(STEP_MS);
  }
  expect(at.written).toEqual([]);
  const from = at.clock.now();
  at.truth = (now) => 300e6 + Math.min(100e6, ((now - from) / 5000) * 100e6);
  await at.pass(2000);
  expect([at.written, at.state]).toEqual([[], '"placing"']);
  await at.pass(8000);
  const weighed = at.written.find(({ kind }) => kind === 'weighed');
  expect(weighed).toMatchObject({ before: g(300), net: g(100), how: 'dwell' });
  await at.station.stop();
});

test('a scale that speaks only at rest: a pause in the band, and the pour goes on unheard; it is not accepted in between', async () => {
  const at = await aBench('on-settled', 150, 3);
  await at.pass(3000);
  at.truth = () => 300e6;
  await at.pass(6000);
  expect(at.written.map(({ kind }) => kind)).toEqual(['placed']);
  at.truth = () => 400e6;
  for (let waited = 0; waited < 10_000 && at.state !== '{"pouring":"inBand"}'; waited += STEP_MS)
    await at.pass(STEP_MS);
  // It has said 400.0 g, which is in the band; from here on more trickles in for eight seconds, and it says nothing.
  const from = at.clock.now();
  at.truth = (now) => 400e6 + (Math.min(8000, now - from) / 1000) * 1e6;
  await at.pass(8000);
  expect(at.happenings.filter(({ kind }) => kind === 'dwelt').length).toBeGreaterThanOrEqual(2);
  expect(at.written.map(({ kind }) => kind)).toEqual(['placed']);
  await at.pass(6000);
  expect(at.written.at(-1)).toMatchObject({ kind: 'held', net: g(108) });
  await at.station.stop();
});

test('such a scale at rest in the band: the word of the maker accepts it, as it stands', async () => {
  const at = await aBench('on-settled', 150, 4);
  await at.pass(3000);
  at.truth = () => 300e6;
  await at.pass(6000);
  at.truth = () => 399e6;
  await at.pass(20_000);
  expect(at.written.map(({ kind }) => kind)).toEqual(['placed']);
  at.station.answer({ type: 'answer.yes' });
  await at.pass(1000);
  expect(at.written.find(({ kind }) => kind === 'weighed')).toMatchObject({ net: g(99), how: 'key' });
  await at.station.stop();
});
