/**
 * Plugs are pulled for real (the pair of pseudo-terminals dies under the program), and come back under other names.
 * The names are links in a folder that stands for /dev; which adapter is behind which name is told by the test, since
 * a pseudo-terminal has none.
 */
import { access, mkdtemp, readlink, rm, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { realClock } from '../../src/link/clock.ts';
import { createPortDesk, type PortDesk } from '../../src/link/portDesk.ts';
import { createSerialLink, GIVE_UP_MS } from '../../src/link/serialLink.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { createSimulatedScale } from '../../src/link/simulatedScale.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import { createPan, loadOf } from '../../src/simulate/pan.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { hasSocat, startPair } from '../pairs.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { grams } from './rig.ts';

const why = hasSocat ? '' : ' (skipped: "socat" is not installed, so there is no pseudo-terminal pair)';
const PATIENCE = { timeout: 2 * GIVE_UP_MS + 10_000, interval: 10 };

describe.skipIf(!hasSocat)(`plugs that are pulled and come back elsewhere${why}`, { timeout: 60_000 }, () => {
  const cleanUps: (() => Promise<unknown>)[] = [];
  let dev = '';
  let desk: PortDesk;
  /** Serial numbers of the adapters by the port's name; undefined: a cheap one without. */
  const adapters = new Map<string, string | undefined>();

  /** False while several are plugged in, so that they appear at once. */
  let listed = true;

  beforeEach(async () => {
    dev = await mkdtemp(join(tmpdir(), 'bismar-test-'));
    adapters.clear();
    listed = true;
    desk = createPortDesk({
      list: async () => ({
        ports: (listed ? [...adapters] : []).map(([name, serialNumber]) => ({
          path: join(dev, name),
          maker: undefined,
          serialNumber,
          vendorId: '1a2b',
          productId: '0001',
          likely: true,
        })),
        say: undefined,
      }),
      // As for a device: a link to it leads there, its own name to itself.
      realPath: async (path) => {
        await access(path);
        return path.endsWith('.by-id') ? readlink(path) : path;
      },
    });
  });
  afterEach(async () => {
    for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
    await rm(dev, { recursive: true, force: true });
  });

  /** A scale with a weight on it, and its plug. */
  function createScale(id: string, weight: number, profileId = 'status-first') {
    const profile = shippedProfile(profileId);
    const pan = createPan(id);
    pan.bare = grams(weight);
    const instrument = createInstrument(
      { capacity: grams(5000), d: grams(0.1), noise: grams(0), lagMs: 10, settleMs: 50, perSecond: 20 },
      () => loadOf(pan),
      seededRandom(3),
      realClock.now(),
    );
    let pull: (() => Promise<void>) | undefined;
    const plugs = {
      async plugIn(name: string, serialNumber?: string): Promise<void> {
        const pair = await startPair({ near: join(dev, name), far: join(dev, `${name}.far`) });
        const scale = createSimulatedScale({ instrument, profile, openPort: openSerialPort, path: pair.far });
        adapters.set(name, serialNumber);
        await scale.start();
        pull = async () => {
          adapters.delete(name);
          await pair.kill(); // SIGKILL: nothing says good-bye
          await scale.stop();
        };
      },
      async pullOut(): Promise<void> {
        await pull?.();
        pull = undefined;
      },
    };
    cleanUps.push(() => plugs.pullOut());
    return plugs;
  }

  function startLink(scale: string, path: string, profileId = 'status-first') {
    const events: SourceEvent[] = [];
    const profile = shippedProfile(profileId);
    const seat = desk.seat({ scale, path, adapter: undefined, profile });
    const link = createSerialLink({ scale, path, profile, openPort: openSerialPort, seat });
    link.start((event) => events.push(event));
    cleanUps.push(() => link.stop());
    const masses = () => events.flatMap((event) => (event.kind === 'reading' ? [event.reading.mass] : []));
    const states = () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : []));
    return {
      masses,
      states,
      said: () => events.flatMap((event) => (event.kind === 'link' && event.say ? [event.say] : [])),
      refused: () => events.filter(({ kind }) => kind === 'refused'),
      reads: () => {
        const sofar = masses().length;
        return vi.waitFor(() => expect(masses().length).toBeGreaterThan(sofar), PATIENCE);
      },
      hasLost: (times = 1) =>
        vi.waitFor(() => expect(states().filter((state) => state === 'lost')).toHaveLength(times), PATIENCE),
      isOpen: () => vi.waitFor(() => expect(states().at(-1)).toBe('open'), PATIENCE),
    };
  }

  test('found again under another name by its adapter, again and again', async () => {
    const scale = createScale('bench', 296.4);
    await scale.plugIn('ttyUSB0', 'A');
    const bench = startLink('bench', join(dev, 'ttyUSB0'));
    for (const [round, name] of ['ttyUSB1', 'ttyUSB2', 'ttyUSB0'].entries()) {
      await bench.reads();
      await scale.pullOut();
      await bench.hasLost(round + 1);
      await scale.plugIn(name, 'A');
      await bench.isOpen();
      expect(bench.said().at(-1)).toBe(`The bench scale is back on ${join(dev, name)}.`);
    }
    await bench.reads();
    expect(new Set(bench.masses())).toEqual(new Set([grams(296.4)]));
    expect(bench.refused()).toEqual([]);
  });

  test("two scales that come back under each other's names: each finds its own", async () => {
    const heavy = createScale('bench', 296.4);
    const light = createScale('fine', 12.3);
    await heavy.plugIn('ttyUSB0', 'A');
    await light.plugIn('ttyUSB1', 'B');
    const bench = startLink('bench', join(dev, 'ttyUSB0'));
    const fine = startLink('fine', join(dev, 'ttyUSB1'));
    await Promise.all([bench.reads(), fine.reads()]);
    await Promise.all([heavy.pullOut(), light.pullOut()]);
    await Promise.all([bench.hasLost(), fine.hasLost()]);
    await Promise.all([heavy.plugIn('ttyUSB1', 'A'), light.plugIn('ttyUSB0', 'B')]);
    await Promise.all([bench.isOpen(), fine.isOpen()]);
    await Promise.all([bench.reads(), fine.reads()]);
    expect(new Set(bench.masses())).toEqual(new Set([grams(296.4)]));
    expect(new Set(fine.masses())).toEqual(new Set([grams(12.3)]));
  });

  test("without serial numbers it is found by its lines; a stranger's are not taken for its own", async () => {
    const scale = createScale('bench', 296.4);
    const stranger = createScale('other', 12.3, 'number-and-unit');
    await scale.plugIn('ttyUSB0');
    const bench = startLink('bench', join(dev, 'ttyUSB0'));
    await bench.reads();
    await scale.pullOut();
    await bench.hasLost();
    listed = false;
    await stranger.plugIn('ttyUSB1');
    await scale.plugIn('ttyUSB2');
    listed = true;
    await bench.isOpen();
    expect(bench.said().at(-1)).toBe(`The bench scale is back on ${join(dev, 'ttyUSB2')}.`);
    await bench.reads();
    expect(new Set(bench.masses())).toEqual(new Set([grams(296.4)]));
  });

  test('a lasting name for the adapter leads to it wherever it is', async () => {
    const scale = createScale('bench', 296.4);
    const lasting = join(dev, 'adapter-A.by-id');
    await scale.plugIn('ttyUSB0', 'A');
    await symlink(join(dev, 'ttyUSB0'), lasting);
    const bench = startLink('bench', lasting);
    await bench.reads();
    await scale.pullOut();
    await rm(lasting);
    await bench.hasLost();
    await scale.plugIn('ttyUSB3', 'A');
    await symlink(join(dev, 'ttyUSB3'), lasting);
    await bench.isOpen();
    await bench.reads();
    expect(new Set(bench.masses())).toEqual(new Set([grams(296.4)]));
    expect(bench.refused()).toEqual([]);
  });
});
