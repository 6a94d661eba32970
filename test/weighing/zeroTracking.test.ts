/** Scales that follow slow changes hide slow additions: what was hidden shows on the empty pan. Signal and chart in virtual time. */
import { expect, test } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { stepWatched, UNWATCHED } from '../../src/signal/health.ts';
import type { SignalInput } from '../../src/signal/signal.ts';
import { createInstrument, type InstrumentSettings } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { panEvent } from '../../src/weighing/events.ts';
import { startChart } from './chartRig.ts';
import { aDraw, aPlan, bench, g } from './samplePlan.ts';

/** A bench scale with such habits, one draw, and a vessel of so many grams. */
async function aBench(draw: PlannedDraw, tare: number, settings: Partial<InstrumentSettings>) {
  const vessels = { [draw.on]: { id: draw.on, name: 'The vessel', tare: g(tare) } };
  const rig = await startChart([{ kind: 'gathered' }], aPlan([draw, aDraw('A2', { on: draw.on })], { vessels }));
  let load = 0;
  let now = 0;
  let watched = UNWATCHED;
  const instrument = createInstrument(
    { capacity: bench.capacity, d: bench.d, noise: g(0.01), ...settings },
    () => g(load),
    seededRandom(1),
  );
  const config = {
    scale: 'bench',
    d: bench.d,
    repeatability: bench.repeatability ?? undefined,
    rhythm: 'continuous' as const,
    linesPerSecond: 10,
    unit: 'g' as const,
    unitIsSent: true,
    dwellMs: 1000,
  };
  const feed = async (input: SignalInput) => {
    const stepped = stepWatched(watched, input, config);
    watched = stepped.state;
    await rig.tell(...stepped.happenings.map(panEvent));
  };
  return {
    rig,
    instrument,
    /** Time passes; each second so many grams come in. */
    async pass(seconds: number, gramsPerSecond = 0) {
      for (const until = now + seconds * 1000; now < until; ) {
        now += 100;
        load += gramsPerSecond / 10;
        for (const { at, number, unit, stable } of instrument.advance(now)) {
          const of: Mass = toMicrograms(number.digits, number.scale, unit);
          await feed({ kind: 'reading', reading: { mass: of, unit, stable, at, raw: '' } });
        }
        await feed({ kind: 'tick', at: now });
      }
    },
    put(grams: number) {
      load = grams;
    },
  };
}

const shifts = (written: readonly Fact[]) => written.filter(({ kind }) => kind === 'zero-shifted');

/** The written weight, and by how much it was wrong: the truth minus it. */
function wrongBy(rig: Awaited<ReturnType<typeof aBench>>['rig'], truly: number): Mass {
  const weighed = rig.written.find((fact) => fact.kind === 'weighed');
  if (weighed?.kind !== 'weighed') throw new Error('nothing was weighed');
  return mass(g(truly) - weighed.net);
}

test('a cup so light that a zero set under it can not be told: grains fall while the display stands at zero', async () => {
  const draw = aDraw('A1', { on: 'cup', vessel: 'cup', target: g(5), low: g(4.9), high: g(5.1) });
  const at = await aBench(draw, 3, { zeroTracking: true });
  at.put(3);
  await at.pass(3);
  at.instrument.pressZero();
  at.put(0);
  await at.pass(4);
  at.put(3);
  await at.pass(4);
  expect(at.rig.state).toBe('pouring.under');
  await at.pass(20, 0.02); // 0.2 d a second: the display stays at zero
  await at.pass(5, 1);
  await at.pass(5);
  const wrong = wrongBy(at.rig, 5.4);
  expect(wrong).toBeGreaterThan(g(0.3)); // the scale has hidden it
  expect(shifts(at.rig.written)).toEqual([]);

  at.put(0);
  await at.pass(5);
  expect(shifts(at.rig.written)).toMatchObject([{ scale: 'bench', draws: ['A1'] }]);
  const doubt = at.rig.snapshot.context.batch.draws.A1?.doubt ?? 0;
  expect(Math.abs(doubt - wrong)).toBeLessThanOrEqual(g(0.163));
});

test('a scale that follows under any load: the draw is marked by what it hid', async () => {
  const at = await aBench(aDraw('A1'), 300, { zeroTracking: 'anywhere', tracksPerSecond: 1 });
  await at.pass(3);
  at.put(300);
  await at.pass(5);
  await at.pass(10, 0.05); // half an interval a second
  await at.pass(10, 10);
  await at.pass(6);
  const wrong = wrongBy(at.rig, 100.5);
  expect(wrong).toBeGreaterThan(g(0.2));
  at.put(0);
  await at.pass(5);
  expect(shifts(at.rig.written)).toMatchObject([{ draws: ['A1'] }]);
  const doubt = at.rig.snapshot.context.batch.draws.A1?.doubt ?? 0;
  expect(doubt).toBeGreaterThan(0);
  expect(Math.abs(doubt - wrong)).toBeLessThanOrEqual(g(0.163));
});

test('a zero that wanders a little while the vessel stands there makes no noise', async () => {
  const at = await aBench(aDraw('A1'), 300, {});
  at.instrument.faults.drift = 1500; // a tenth of a gram in a minute
  for (let times = 0; times < 3; times++) {
    at.put(0);
    await at.pass(4);
  }
  at.put(300);
  await at.pass(5);
  await at.pass(10, 10);
  await at.pass(6);
  at.put(0);
  await at.pass(5);
  expect(at.rig.written.map(({ kind }) => kind).slice(0, 2)).toEqual(['placed', 'weighed']);
  expect(shifts(at.rig.written)).toEqual([]);
  expect(at.rig.snapshot.context.batch.draws.A1?.doubt).toBeNull();
});
