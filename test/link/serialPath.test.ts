/** The real serial path: the native binding, on pairs of pseudo-terminals. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { realClock } from '../../src/link/clock.ts';
import { portTrouble } from '../../src/link/portTrouble.ts';
import { createSerialLink, GIVE_UP_MS } from '../../src/link/serialLink.ts';
import { openSerialPort } from '../../src/link/serialPort.ts';
import { simulate } from '../../src/link/simulateCommand.ts';
import { createSimulatedScale } from '../../src/link/simulatedScale.ts';
import { createInstrument, type InstrumentSettings } from '../../src/simulate/instrument.ts';
import { createPan, loadOf } from '../../src/simulate/pan.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { ScaleSource, SourceEvent } from '../../src/wire/reading.ts';
import { hasSocat, type Pair, startPair } from '../pairs.ts';
import { SHIPPED, shippedProfile } from '../wire/profiles.ts';
import { grams } from './rig.ts';

const why = hasSocat ? '' : ' (skipped: "socat" is not installed, so there is no pseudo-terminal pair)';
/** Settles fast, so that the tests don't take long. */
const INSTRUMENT: InstrumentSettings = {
  capacity: grams(5000),
  d: grams(0.1),
  noise: grams(0.01),
  lagMs: 30,
  settleMs: 150,
  perSecond: 20,
};
const PATIENCE = { timeout: GIVE_UP_MS + 10_000, interval: 10 };

describe.skipIf(!hasSocat)(`a scale on a serial port${why}`, { timeout: 60_000 }, () => {
  const cleanUps: (() => Promise<unknown>)[] = [];
  let folder = '';
  beforeEach(async () => {
    folder = await mkdtemp(join(tmpdir(), 'bismar-test-'));
  });
  afterEach(async () => {
    for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
    await rm(folder, { recursive: true, force: true });
  });

  async function plugIn(): Promise<Pair> {
    const pair = await startPair({ near: join(folder, 'scale'), far: join(folder, 'far') });
    cleanUps.push(() => pair.kill());
    return pair;
  }

  async function startScale(profile: Profile, path: string) {
    const pan = createPan('bench');
    const load = () => loadOf(pan);
    const instrument = createInstrument(INSTRUMENT, load, seededRandom(11), realClock.now());
    const scale = createSimulatedScale({ instrument, profile, openPort: openSerialPort, path });
    await scale.start();
    cleanUps.push(() => scale.stop());
    return { pan, scale };
  }

  function startLink(profile: Profile, path: string) {
    const events: SourceEvent[] = [];
    const link: ScaleSource = createSerialLink({ scale: 'bench', path, profile, openPort: openSerialPort });
    link.start((event) => events.push(event));
    cleanUps.push(() => link.stop());
    return {
      events,
      states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
      last: () => {
        const event = events.findLast(({ kind }) => kind === 'reading');
        return event?.kind === 'reading' ? event.reading : undefined;
      },
    };
  }

  test.each(SHIPPED)('%s: the weight on the pan arrives', async (id) => {
    const pair = await plugIn();
    const profile = shippedProfile(id);
    const { pan } = await startScale(profile, pair.far);
    const { events, states, last } = startLink(profile, pair.near);
    await vi.waitFor(() => expect(states()).toContain('open'), PATIENCE);
    // The first line after an opening is dropped, so the load changes twice for scales that speak on change.
    pan.bare = grams(100);
    await vi.waitFor(() => expect(last()?.mass).toBe(grams(100)), PATIENCE);
    pan.bare = grams(296.4);
    await vi.waitFor(() => {
      expect(last()).toMatchObject({ mass: grams(296.4), unit: 'g' });
      if (id !== 'number-and-unit') expect(last()?.stable).toBe(true);
    }, PATIENCE);
    expect(events.filter(({ kind }) => kind === 'refused')).toEqual([]);
  });

  test('the plug is pulled in the middle of the flow, again and again: always told, always found again', async () => {
    const profile = shippedProfile('status-first');
    let pair = await plugIn();
    let { scale } = await startScale(profile, pair.far);
    const { states, last, events } = startLink(profile, pair.near);
    for (let round = 1; round <= 4; round++) {
      const from = events.length;
      await vi.waitFor(() => expect(events.slice(from).some(({ kind }) => kind === 'reading')).toBe(true), PATIENCE);
      await pair.kill();
      // At once by the port's own word, or, where the library misses the hang-up, by the silence.
      await vi.waitFor(() => expect(states().filter((state) => state === 'lost')).toHaveLength(round), PATIENCE);
      await scale.stop();
      pair = await plugIn();
      ({ scale } = await startScale(profile, pair.far));
      await vi.waitFor(() => expect(states().at(-1)).toBe('open'), PATIENCE);
    }
    const before = last()?.at ?? 0;
    await vi.waitFor(() => expect(last()?.at).toBeGreaterThan(before), PATIENCE);
    expect(events.filter(({ kind }) => kind === 'refused')).toEqual([]);
  });

  test('a pulled plug on a scale that speaks on change only is told too', async () => {
    const profile = shippedProfile('number-and-unit');
    const pair = await plugIn();
    const { states } = startLink(profile, pair.near);
    await vi.waitFor(() => expect(states()).toContain('open'), PATIENCE);
    await pair.kill();
    await rm(pair.near, { force: true });
    await vi.waitFor(() => expect(states()).toContain('lost'), PATIENCE);
    expect(states().at(-1)).not.toBe('open');
  });

  test('a megabyte of noise without a line ending: told once, no reading, and the next line is read', async () => {
    const profile = shippedProfile('status-first');
    const pair = await plugIn();
    const { events, states } = startLink(profile, pair.near);
    await vi.waitFor(() => expect(states()).toContain('open'), PATIENCE);
    const far = await openSerialPort(pair.far, profile.serial, { data: () => {}, closed: () => {}, error: () => {} });
    cleanUps.push(() => far.close());
    const noise = Uint8Array.from({ length: 4096 }, (_, index) => 0x80 + (index % 0x7f));
    for (let sent = 0; sent < 256; sent++) await far.write(noise);
    await far.write(`\r\ncalm,+      1.0 g\r\n`);
    await vi.waitFor(() => expect(events.at(-1)?.kind).toBe('reading'), PATIENCE);
    expect(events.filter(({ kind }) => kind === 'reading')).toHaveLength(1);
    expect(events.filter(({ kind }) => kind === 'refused')).toHaveLength(1);
  });

  test("a port that somebody else has is told in the maker's words, and taken when it is free", async () => {
    const profile = shippedProfile('status-first');
    const pair = await plugIn();
    const silent = { data: () => {}, closed: () => {}, error: () => {} };
    const other = await openSerialPort(pair.near, profile.serial, silent);
    const { events, states } = startLink(profile, pair.near);
    await vi.waitFor(() => expect(states()).toContain('failed'), PATIENCE);
    expect(events.at(-1)).toMatchObject({ say: expect.stringContaining('in use by another program') });
    await other.close();
    await vi.waitFor(() => expect(states().at(-1)).toBe('open'), PATIENCE);
  });

  test.each([
    ['/dev/no-such-port', 'missing'],
    ['/dev/null', 'no-serial-port'],
    ['/', 'no-serial-port'],
  ])('%s: %s', async (path, kind) => {
    const silent = { data: () => {}, closed: () => {}, error: () => {} };
    const settings = shippedProfile('status-first').serial;
    const error: unknown = await openSerialPort(path, settings, silent).catch((reason: unknown) => reason);
    expect(portTrouble(error, path)).toMatchObject({ kind });
  });

  test('the simulate command: prints the port, obeys typed lines, ends with quit', async () => {
    const profile = shippedProfile('status-first');
    const input = new PassThrough();
    const printed: string[] = [];
    const ended = simulate({ profile, instrument: INSTRUMENT, input, print: (line) => printed.push(line) });
    const port = await vi.waitFor(() => {
      const found = /on the port (\S+)\.$/.exec(printed[0] ?? '')?.[1];
      if (!found) throw new Error('not started yet');
      return found;
    }, PATIENCE);
    const { last, states } = startLink(profile, port);
    input.write('put 296.4\n');
    await vi.waitFor(() => expect(last()).toMatchObject({ mass: grams(296.4), stable: true }), PATIENCE);
    input.write('unit\n');
    await vi.waitFor(() => expect(last()?.unit).not.toBe('g'), PATIENCE);
    input.write('drop\n');
    await vi.waitFor(() => expect(states()).toContain('lost'), PATIENCE);
    await vi.waitFor(() => expect(states().at(-1)).toBe('open'), PATIENCE);
    input.write('quit\n');
    expect(await ended).toBe(0);
    expect(printed).toContain('296.400 g on the pan');
  });

  test('the simulate command on a port that is not there ends with code 3 and a sentence', async () => {
    const printed: string[] = [];
    const code = await simulate({
      profile: shippedProfile('status-first'),
      instrument: INSTRUMENT,
      path: '/dev/no-such-port',
      input: new PassThrough(),
      print: (line) => printed.push(line),
    });
    expect(code).toBe(3);
    expect(printed.join('\n')).toMatch(/^There is no port \/dev\/no-such-port/);
  });
});
