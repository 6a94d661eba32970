/** A whole pour through the station: readings of a lagging simulated scale in, cues and a note of the pour out. */
import { expect, it } from 'vitest';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { ZERO } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import type { Cue } from '../../src/signal/cue.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { createStation } from '../../src/weighing/station.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';
import { batchAfter } from './chartRig.ts';
import { aDraw, aPlan, BY, g, sealed } from './samplePlan.ts';

interface Pour {
  readonly log: readonly Fact[];
  readonly cues: ReadonlySet<Cue | null>;
}

/** @param inAlready what an earlier run of the program saw poured */
async function aPour(before: readonly Happened[] = [], inAlready = 0): Promise<Pour> {
  const plan = aPlan([aDraw('A1')]);
  const clock = createFakeClock();
  const log: Fact[] = [];
  let tell: (event: SourceEvent) => void = () => {};
  const station = createStation({
    batch: batchAfter([{ kind: 'gathered' }, ...before], plan),
    by: BY,
    clock,
    log: {
      append: async (_, __, happened) => {
        const facts = sealed(happened, log.length + 2);
        log.push(...facts);
        return facts;
      },
    },
    scales: [
      {
        signal: {
          scale: 'bench',
          d: g(0.1),
          repeatability: g(0.05),
          rhythm: 'continuous',
          linesPerSecond: 10,
          unit: 'g',
          dwellMs: 1500,
          unitIsSent: true,
        },
        source: {
          scale: 'bench',
          start: (told) => {
            tell = told;
          },
          stop: async () => {},
        },
      },
    ],
  });
  let load = 0;
  const settings = { capacity: g(5000), d: g(0.1), noise: g(0.02), lagMs: 300 };
  const instrument = createInstrument(settings, () => g(load), seededRandom(3));
  const cues = new Set<Cue | null>();
  const pace: Readonly<Record<Cue, number>> = { pour: 8, ease: 3, drips: 0.8, stop: 0 };
  const second = async (poured: boolean): Promise<void> => {
    for (let tenth = 0; tenth < 10; tenth++) {
      const { cue } = station.live('bench').told;
      if (poured && cue !== null) load += pace[cue] / 10;
      if (poured) cues.add(cue);
      await clock.advance(100);
      for (const { at, number, unit, stable } of instrument.advance(clock.now())) {
        const mass = toMicrograms(number.digits, number.scale, unit);
        tell({ kind: 'reading', reading: { mass, unit, stable, at, raw: '' } });
      }
    }
  };
  station.start();
  await second(false);
  await second(false);
  load = 300 + inAlready; // the bowl
  for (let turn = 0; turn < 4; turn++) await second(false);
  for (let turn = 0; turn < 120 && !log.some(({ kind }) => kind === 'weighed'); turn++) await second(true);
  await station.stop();
  return { log, cues };
}

it('a pour that heeds the cues ends in the band, and its note and its trace are in the log', async () => {
  const { log, cues } = await aPour();
  expect([...cues]).toEqual(expect.arrayContaining(['ease', 'stop']));
  expect(log.map(({ kind }) => kind)).not.toContain('held');
  const weighed = log.find((fact) => fact.kind === 'weighed');
  expect(weighed).toMatchObject({ draw: 'A1', takenBack: ZERO, pour: { stop: { ended: expect.any(Number) } } });
  const lag = weighed?.kind === 'weighed' ? (weighed.pour?.lagMs ?? 0) : 0;
  expect(Math.abs(lag - 300)).toBeLessThan(60);
  const trace = weighed?.kind === 'weighed' ? weighed.trace : undefined;
  expect(trace).toMatchObject({ midway: false });
  expect(Math.abs((trace?.net.at(-1) ?? 0) - (weighed?.net ?? 0))).toBeLessThanOrEqual(g(0.1));
  expect(trace?.ms.at(-1)).toBeGreaterThan(10_000);
});

it('after a stop of the program the trace goes on from what is in already, and says so', async () => {
  const placed: Happened = {
    kind: 'placed',
    draw: 'A1',
    vessel: 'bowl',
    scale: 'bench',
    load: g(300),
    zero: ZERO,
    unusual: false,
  };
  const { log } = await aPour([placed], 40);
  const weighed = log.find((fact) => fact.kind === 'weighed');
  const trace = weighed?.kind === 'weighed' ? weighed.trace : undefined;
  expect(trace).toMatchObject({ midway: true });
  expect(Math.abs((trace?.net[0] ?? 0) - g(40))).toBeLessThanOrEqual(g(0.2));
});
