/** The station, with a source that a test speaks for: what it shows as live, and what it makes of unreadable lines. */
import { describe, expect, it } from 'vitest';
import { SimulatedClock } from 'xstate';
import type { Fact } from '../../src/facts/fact.ts';
import { createStation } from '../../src/weighing/station.ts';
import type { Rhythm, SourceEvent } from '../../src/wire/reading.ts';
import { batchAfter, stateName } from './chartRig.ts';
import { aDraw, aPlan, bench, g, sealed } from './samplePlan.ts';

async function aStation(rhythm: Rhythm) {
  const clock = new SimulatedClock();
  const written: Fact[] = [];
  let tell: (event: SourceEvent) => void = () => {};
  const station = createStation({
    batch: batchAfter([{ kind: 'gathered' }], aPlan([aDraw('A1'), aDraw('A2')])),
    scales: [
      {
        signal: {
          scale: 'bench',
          d: bench.d,
          repeatability: g(0.05),
          rhythm,
          linesPerSecond: 10,
          unit: 'g',
          unitIsSent: true,
          dwellMs: 1000,
        },
        source: {
          scale: 'bench',
          start(to) {
            tell = to;
          },
          async stop() {},
        },
      },
    ],
    log: {
      async append(_batch, _by, happened) {
        const facts = sealed(happened, written.length + 1);
        written.push(...facts);
        return facts;
      },
    },
    by: 'Someone',
    clock: {
      now: () => clock.now(),
      setTimeout: (run, ms) => clock.setTimeout(run, ms),
      clearTimeout: (timer) => clock.clearTimeout(timer as never),
    },
  });
  station.start();
  const pass = async (ms: number, say: () => void = () => {}) => {
    for (let passed = 0; passed < ms; passed += 100) {
      clock.increment(100);
      say();
      await new Promise((resolve) => setImmediate(resolve));
    }
  };
  return {
    station,
    written,
    pass,
    /** The display shows so many grams for a while; a line each tenth of a second. */
    show: (grams: number, ms = 2500) =>
      pass(ms, () =>
        tell({ kind: 'reading', reading: { mass: g(grams), unit: 'g', stable: undefined, at: clock.now(), raw: '' } }),
      ),
    garble: () => tell({ kind: 'refused', why: 'noise', at: clock.now(), raw: '~~' }),
    state: () => stateName(station.snapshot()),
  };
}

describe.each(['on-change', 'continuous'] as const)('a scale that speaks %s', (rhythm) => {
  it('sends what can not be read in mid-pour: nothing is shown as live, nothing accepted, until it is read again', async () => {
    const { station, written, pass, show, garble, state } = await aStation(rhythm);
    await show(0);
    await show(300);
    await show(398.5, 900);
    expect(state()).toMatch(/^pouring/);
    expect(station.live('bench')).toMatchObject({ fresh: true, refused: 0 });

    garble();
    garble();
    expect(station.live('bench')).toMatchObject({ fresh: false, settled: false, refused: 2, lastRefused: '~~' });
    await pass(3000, rhythm === 'continuous' ? garble : undefined);
    expect(state()).toBe('blind');
    expect(written.map(({ kind }) => kind)).toEqual(['placed', 'scale-lost']);
    expect(written.at(-1)).toMatchObject({ say: expect.stringContaining('can not be read') });

    await show(398.5, 600);
    expect(station.live('bench').fresh).toBe(true);
    await show(399, 4000);
    expect(written.slice(2, 4)).toMatchObject([{ kind: 'scale-back' }, { kind: 'weighed', draw: 'A1', net: g(99) }]);
    await station.stop();
  });
});
