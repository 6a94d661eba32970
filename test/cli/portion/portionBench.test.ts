/** Portioning on a simulated scale over a cable in memory: what is counted is what truly stood there. */
import { afterEach, expect, test } from 'vitest';
import { makeBars } from '../../../src/cli/demo/barMaker.ts';
import { createPacedClock } from '../../../src/cli/demo/pacedClock.ts';
import { createPortionBench, type PortionBench } from '../../../src/cli/portion/portionBench.ts';
import { createPortionControls } from '../../../src/cli/portion/portionControls.ts';
import { barsOf, lotOf } from '../../../src/facts/bars.ts';
import { findProfile } from '../../../src/link/findProfile.ts';
import { createMemoryCable } from '../../../src/link/memoryPort.ts';
import { createSerialLink } from '../../../src/link/serialLink.ts';
import { createSimulatedScale } from '../../../src/link/simulatedScale.ts';
import { type Mass, mass, size } from '../../../src/mass/mass.ts';
import { beginPortion } from '../../../src/portion/step.ts';
import { type BatchLog, openLog } from '../../../src/records/batchLog.ts';
import { createHand } from '../../../src/simulate/hand.ts';
import { createHolder } from '../../../src/simulate/holder.ts';
import { createInstrument } from '../../../src/simulate/instrument.ts';
import { seededRandom } from '../../../src/simulate/seededRandom.ts';
import { createWorld } from '../../../src/simulate/world.ts';
import { barsBegin } from '../../facts/sampleBars.ts';
import { aim, g, bench as scale } from '../../portion/rig.ts';
import { sampleHappened } from '../../records/sampleFacts.ts';
import { tempFolder } from '../../records/tempFolder.ts';

const logs: BatchLog[] = [];
afterEach(() => {
  for (const log of logs.splice(0)) log.close();
});

async function rig({ mix = 350, failing = false } = {}) {
  const clock = createPacedClock();
  const world = createWorld({
    pans: ['bench'],
    vessels: [{ id: 'bowl', tare: g(900) }],
    lots: [{ id: 'mix', ingredient: 'mix', onHand: g(mix), jar: 'bowl' }],
  });
  const hand = createHand(world);
  const pan = world.pan('bench');
  const found = await findProfile('status-first', ['devices']);
  if (!found.ok) throw new Error('no profile');
  const { profile } = found;
  const instrument = createInstrument(
    { capacity: g(5000), d: g(0.1), noise: g(0.025), lagMs: 150, perSecond: 10, sleepsAfterMs: undefined },
    hand.loadOn(pan),
    seededRandom(3),
    0,
  );
  const cable = createMemoryCable();
  const far = createSimulatedScale({ instrument, profile, openPort: cable.far, path: 'bench', clock });
  const log = openLog(`${tempFolder()}/batch.db`);
  logs.push(log);
  await log.append('B', 'Mara', [...sampleHappened(), { ...barsBegin, mix: g(mix) } as typeof barsBegin]);
  const facts = log.facts('B');
  const bars = barsOf(facts);
  if (!bars) throw new Error('no bars');
  let fails = failing;
  let bench: PortionBench | undefined;
  const open = (): PortionBench => {
    const known = barsOf(log.facts('B')) ?? bars;
    bench = createPortionBench({
      scale: {
        signal: {
          scale: 'bench',
          d: g(0.1),
          repeatability: g(0.05),
          rhythm: profile.rhythm,
          linesPerSecond: profile.linesPerSecond,
          unit: 'g',
          unitIsSent: true,
          dwellMs: 1000,
          sleepsAfterMs: undefined,
        },
        source: createSerialLink({ scale: 'bench', profile, openPort: cable.near, path: 'bench', clock }),
      },
      portion: beginPortion(scale, aim, known),
      batch: 'B',
      by: 'Mara',
      facts: log.facts('B'),
      log: {
        append: async (...args) => {
          if (fails) throw new Error('The disk is full.');
          return log.append(...args);
        },
      },
      clock,
    });
    bench.start();
    return bench;
  };
  return {
    clock,
    world,
    hand,
    pan,
    log,
    cable,
    instrument,
    open,
    start: () => far.start(),
    stop: async () => {
      await bench?.stop();
      await far.stop();
    },
    mend: () => {
      fails = false;
    },
    pause: (ms: number) => new Promise<void>((resolve) => clock.setTimeout(resolve, ms)),
    bars: () => barsOf(log.facts('B')),
  };
}

test('a maker weighs off a bowl hands-free; each bar is what truly stood there, and the rest is written down', async () => {
  const at = await rig();
  const work = async () => {
    await at.start();
    const bench = at.open();
    const truly: Mass[] = [];
    await makeBars({
      bench,
      hand: at.hand,
      pan: at.pan,
      bowl: at.world.lot('mix'),
      clock: at.clock,
      random: seededRandom(5),
      isOver: () => false,
      onLifted: (mass) => truly.push(mass),
    });
    await at.stop();
    return truly;
  };
  const truly = await at.clock.run(work(), Number.POSITIVE_INFINITY);
  const bars = at.bars();
  expect(bars?.ended).not.toBeNull();
  const lot = lotOf(bars ?? { bars: [] });
  expect(lot.length).toBe(4);
  expect(lot.map(({ bar }) => bar)).toEqual([1, 2, 3, 4]);
  for (const [index, { net, uncertainty }] of lot.entries()) {
    expect(size(mass(net - (truly[index] ?? 0)))).toBeLessThanOrEqual(uncertainty);
    expect(net).toBeGreaterThanOrEqual(aim.low);
    expect(net).toBeLessThanOrEqual(aim.high);
  }
  expect(bars?.leftOver.map(({ what }) => what)).toEqual(['offcut', 'crumbs']);
  const out = [...lot, ...(bars?.leftOver ?? [])].reduce((sum, { net }) => sum + net, 0);
  expect(Math.abs(out - g(350))).toBeLessThan(g(0.6));
});

test('killed and begun again, with the plug pulled in between: the count goes on, and nothing is counted twice', async () => {
  const at = await rig();
  const put = async (grams: number) => {
    const bar = createHolder('bar', g(grams));
    at.hand.put(bar, at.pan);
    await at.pause(4000);
    return bar;
  };
  const work = async () => {
    await at.start();
    const first = at.open();
    await at.pause(3500);
    at.hand.lift(await put(75.2));
    await at.pause(3500);
    const cut = await put(74.8);
    await first.stop(); // killed while a bar stands on the pan
    const second = at.open();
    await at.pause(4000);
    // Nothing is known of what stands there: the empty pan has to be seen first.
    at.hand.lift(cut);
    await at.pause(3500);
    at.hand.put(cut, at.pan);
    await at.pause(4000);
    at.hand.lift(cut);
    await at.pause(3500);
    const pulled = await put(75.5);
    at.cable.unplug();
    await at.pause(4000);
    expect(second.state().pan.state).toBe('blind');
    at.hand.lift(pulled);
    at.cable.plug();
    await at.start(); // the simulated scale's own end of it
    await at.pause(20_000);
    // A scale that comes back with zero where a bar stood may have zeroed itself under it: the maker says.
    expect(second.state().pan.state).toBe('unproved');
    second.declareEmpty();
    at.hand.put(pulled, at.pan);
    await at.pause(4000);
    at.hand.lift(pulled);
    await at.pause(3500);
    await at.stop();
  };
  await at.clock.run(work(), Number.POSITIVE_INFINITY);
  const nets = at.bars()?.bars.map(({ bar, net }) => [bar, Math.round(net / 1e5) / 10]);
  expect(nets?.map(([bar]) => bar)).toEqual([1, 2, 3]);
  for (const [index, grams] of [75.2, 74.8, 75.5].entries()) {
    expect(Math.abs((nets?.[index]?.[1] ?? 0) - grams)).toBeLessThanOrEqual(0.21);
  }
});

test('what can not be written does not count, is said, and is tried again', async () => {
  const at = await rig({ failing: true });
  const work = async () => {
    await at.start();
    const bench = at.open();
    const controls = createPortionControls({
      bench,
      clock: at.clock,
      savedMs: 0,
      onLeave: () => {},
      onView: () => {},
    });
    await at.pause(3500);
    const bar = createHolder('bar', g(75));
    at.hand.put(bar, at.pan);
    await at.pause(4000);
    at.hand.lift(bar);
    await at.pause(3500);
    expect(bench.failure()).toBe('The disk is full.');
    expect(bench.state().bars.bars).toEqual([]);
    expect(controls.press('u')).toBe(false);
    at.mend();
    expect(controls.press('enter')).toBe(true);
    await at.pause(500);
    expect(bench.failure()).toBeNull();
    expect(bench.state().bars.bars).toHaveLength(1);
    expect(controls.press('p')).toBe(true);
    expect(controls.typed('7')).toMatch(/no such bar/);
    expect(controls.typed('1')).toBeUndefined();
    expect(controls.press('s')).toBe(true);
    await at.pause(500);
    await at.stop();
  };
  await at.clock.run(work(), Number.POSITIVE_INFINITY);
  expect(at.bars()?.bars).toMatchObject([{ bar: 1, pulled: 'set aside by the maker', back: false }]);
});

test.each([
  ['after LIFT', 4000, 300],
  ['after LIFT', 4000, 400],
  ['before LIFT', 1300, 600],
])(
  'two hands, the next bar on at once, %s (%i ms on, %i ms off): no bar is lost without a word',
  async (_when, on, off) => {
    const at = await rig();
    const work = async () => {
      await at.start();
      const bench = at.open();
      await at.pause(3500);
      const first = createHolder('bar', g(74.7));
      const second = createHolder('bar', g(75.4));
      at.hand.put(first, at.pan);
      await at.pause(on);
      at.hand.lift(first);
      await at.pause(off);
      at.hand.put(second, at.pan);
      await at.pause(4000);
      at.hand.lift(second);
      await at.pause(3500);
      const known = bench.state();
      await at.stop();
      return known;
    };
    const { bars, inHand } = await at.clock.run(work(), Number.POSITIVE_INFINITY);
    // One is counted, the other asked for by its weight: together they are the two that were there.
    const nets = [...bars.bars.map(({ net }) => net), ...(inHand ? [inHand.net] : [])].sort((a, b) => a - b);
    expect(nets).toHaveLength(2);
    for (const [index, grams] of [74.7, 75.4].entries())
      expect(Math.abs((nets[index] ?? 0) - g(grams))).toBeLessThan(g(0.6));
  },
);

test('a liner on the pan: never weighed with a bar in silence; said to stay, each bar is weighed without it', async () => {
  const at = await rig();
  const work = async () => {
    await at.start();
    const bench = at.open();
    const controls = createPortionControls({ bench, clock: at.clock, savedMs: 0, onLeave() {}, onView() {} });
    const liner = createHolder('liner', g(3));
    const onAndOff = async (grams: number) => {
      const bar = createHolder('bar', g(grams));
      at.hand.put(bar, at.pan);
      await at.pause(4000);
      at.hand.lift(bar);
      await at.pause(3500);
    };
    await at.pause(3500);
    at.hand.put(liner, at.pan);
    await at.pause(4000);
    // Nobody said so: 75.2 g is what the scale shows, 72.2 g is what the bar weighs.
    await onAndOff(72.2);
    at.hand.lift(liner);
    await at.pause(3500);
    const unsaid = bench.state();
    at.hand.put(liner, at.pan);
    await at.pause(4000);
    expect(controls.press('l')).toBe(true);
    await onAndOff(75.2);
    await onAndOff(74.4);
    const said = bench.state();
    // It sticks to the next bar, and goes with it.
    const stuck = createHolder('bar', g(75));
    at.hand.put(stuck, at.pan);
    await at.pause(4000);
    at.hand.lift(stuck);
    at.hand.lift(liner);
    await at.pause(4000);
    const gone = bench.state();
    await at.stop();
    return { unsaid, said, gone };
  };
  const { unsaid, said, gone } = await at.clock.run(work(), Number.POSITIVE_INFINITY);
  expect(unsaid.bars.bars).toEqual([]);
  expect(unsaid.inHand?.why).toBe('left some');
  expect(said.bars.bars).toHaveLength(2);
  for (const [index, grams] of [75.2, 74.4].entries()) {
    expect(Math.abs((said.bars.bars[index]?.net ?? 0) - g(grams))).toBeLessThan(g(0.21));
  }
  expect(gone.bars.bars).toHaveLength(2);
  expect(gone.inHand?.why ?? gone.pan.state).toMatch(/zero moved|unproved/);
});
