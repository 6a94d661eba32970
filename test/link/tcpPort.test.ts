/** A scale behind a network box: a real server on the loopback, and sockets that a test holds in its hands. */
import { connect, createServer, type Server, Socket } from 'node:net';
import { afterEach, describe, expect, test, vi } from 'vitest';
import type { PortEvents } from '../../src/link/port.ts';
import { portTrouble } from '../../src/link/portTrouble.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import { openTcpPort, TCP_DELAY_MS, tcpOpener } from '../../src/link/tcpPort.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { grams } from './rig.ts';

const PROFILE = shippedProfile('status-first');
const LINE = 'calm,+    296.4 g\r\n';
const PATIENCE = { timeout: 15_000, interval: 5 };
const SILENT: PortEvents = { data: () => {}, closed: () => {}, error: () => {} };

const cleanUps: (() => unknown)[] = [];
afterEach(async () => {
  for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
});

/** A network box with one serial port behind it. */
async function createBox(at = 0) {
  const sockets: Socket[] = [];
  const heard: string[] = [];
  const server: Server = createServer((socket) => {
    sockets.push(socket);
    socket.setNoDelay(true);
    socket.on('error', () => {});
    socket.on('data', (chunk) => heard.push(chunk.toString('latin1')));
  });
  await new Promise<void>((resolve) => server.listen(at, '127.0.0.1', resolve));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no address');
  const switchOff = async (): Promise<void> => {
    const closed = new Promise<void>((resolve) => server.close(() => resolve()));
    for (const socket of sockets) socket.destroy();
    await closed;
  };
  cleanUps.push(() => switchOff());
  return {
    port: address.port,
    path: `tcp:127.0.0.1:${address.port}`,
    heard,
    switchOff,
    connections: () => sockets.length,
    /** The newest connection. */
    async line(): Promise<Socket> {
      return vi.waitFor(() => {
        const socket = sockets.at(-1);
        if (!socket || socket.destroyed) throw new Error('nobody is connected');
        return socket;
      }, PATIENCE);
    },
  };
}

function startLink(path: string, clock = createFakeClock(1000)) {
  const events: SourceEvent[] = [];
  let arrived = 0;
  const link = createSerialLink({
    scale: 'bench',
    path,
    profile: PROFILE,
    openPort: (to, settings, hear) =>
      openTcpPort(to, settings, {
        ...hear,
        data(chunk) {
          arrived += chunk.length;
          hear.data(chunk);
        },
      }),
    clock,
    delayMs: TCP_DELAY_MS,
  });
  link.start((event) => events.push(event));
  cleanUps.push(() => link.stop());
  return {
    clock,
    events,
    link,
    /** Bytes so far. */
    arrived: () => arrived,
    states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
    said: () => events.flatMap((event) => (event.kind === 'link' && event.say ? [event.say] : [])),
    readings: () => events.flatMap((event) => (event.kind === 'reading' ? [event.reading] : [])),
    refused: () => events.flatMap((event) => (event.kind === 'refused' ? [event.why] : [])),
    /** Waits for the network, and lets the clock's time pass meanwhile. */
    async until(isIt: () => boolean, stepMs = 0): Promise<void> {
      await vi.waitFor(async () => {
        if (stepMs > 0) await clock.advance(stepMs);
        if (!isIt()) throw new Error(`not yet: ${JSON.stringify(events.slice(-3))}`);
      }, PATIENCE);
    },
  };
}

describe('a scale behind a network box', () => {
  test('lines in pieces are put together, and several in one packet are taken apart', async () => {
    const box = await createBox();
    const { until, states, readings, refused } = startLink(box.path);
    await until(() => states().includes('open'));
    const line = await box.line();
    line.write(LINE); // the first is dropped: it may be the rest of one
    for (const piece of ['ca', 'lm,+    29', '6.4 g', '\r', '\n']) {
      await new Promise<void>((resolve) => line.write(piece, () => resolve()));
    }
    line.write(LINE.replace('296.4', '301.7') + LINE.replace('296.4', '305.2'));
    await until(() => readings().length === 3);
    expect(readings().map(({ mass }) => mass)).toEqual([grams(296.4), grams(301.7), grams(305.2)]);
    expect(refused()).toEqual([]);
  });

  test('a line whose halves lie too far apart is refused: it may be two', async () => {
    const box = await createBox();
    const { until, states, readings, refused, clock, events, arrived } = startLink(box.path);
    await until(() => states().includes('open'));
    const line = await box.line();
    line.write(LINE + LINE);
    await until(() => readings().length === 1);
    line.write('calm,+    29');
    await until(() => arrived() === 2 * LINE.length + 'calm,+    29'.length);
    await clock.advance(TCP_DELAY_MS + 500);
    const before = events.length;
    line.write('6.4 g\r\n');
    await until(() => events.length > before);
    expect(readings()).toHaveLength(1);
    expect(refused()).toEqual(['the line came in pieces, so it may be two']);
  });

  test('a cut connection is told and made again by itself; half a line from before joins nothing', async () => {
    const box = await createBox();
    const { until, states, said, readings, refused } = startLink(box.path);
    await until(() => states().includes('open'));
    const first = await box.line();
    first.write(`${LINE + LINE}calm,+    29`);
    await until(() => readings().length === 1);
    first.destroy();
    await until(() => states().at(-1) === 'lost');
    expect(said().at(-1)).toMatch(
      /^The scale "bench" is gone from its port tcp:127\.0\.0\.1:\d+.* What is recorded is safe\./,
    );
    await until(() => states().at(-1) === 'open', 250);
    const second = await box.line();
    second.write(`6.4 g\r\n${LINE.replace('296.4', '301.7')}`);
    await until(() => readings().length === 2);
    expect(readings().at(-1)?.mass).toBe(grams(301.7));
    expect(refused()).toEqual([]);
    expect(box.connections()).toBe(2);
  });

  test('an end that says that it will send no more is a closed connection too', async () => {
    const box = await createBox();
    const { until, states } = startLink(box.path);
    await until(() => states().includes('open'));
    (await box.line()).end();
    await until(() => states().at(-1) === 'lost');
  });

  test('a box that is switched off refuses, which is told once; when it is back, the scale is', async () => {
    const box = await createBox();
    const { until, states, said } = startLink(box.path);
    await until(() => states().includes('open'));
    await box.switchOff();
    await until(() => states().at(-1) === 'failed', 500);
    expect(said().at(-1)).toMatch(/^tcp:127\.0\.0\.1:\d+ refuses the connection: .*this will go on by itself\.$/);
    const again = await createBox(box.port);
    await until(() => states().at(-1) === 'open', 500);
    expect(again.connections()).toBe(1);
    expect(states().filter((state) => state === 'failed')).toHaveLength(1);
  });

  test('a flood without an end is told once and kept out; the next whole line is read', async () => {
    const box = await createBox();
    const { until, states, readings, refused } = startLink(box.path);
    await until(() => states().includes('open'));
    const line = await box.line();
    line.write(LINE);
    line.write(Buffer.alloc(3_000_000, 0xfe));
    line.write(`\r\n${LINE}`);
    await until(() => readings().length === 1);
    expect(readings()[0]?.mass).toBe(grams(296.4));
    expect(refused()).toEqual([expect.stringMatching(/^many bytes and no line ending/)]);
  });

  test('a flood of lines is read whole, in order', async () => {
    const box = await createBox();
    const { until, states, readings, refused } = startLink(box.path);
    await until(() => states().includes('open'));
    const sent = Array.from({ length: 20_000 }, (_, index) => index % 5000);
    (await box.line()).write(LINE + sent.map((g) => `calm,+${`${g}.0`.padStart(9)} g\r\n`).join(''));
    await until(() => readings().length + refused().length === sent.length);
    expect(refused()).toEqual([]);
    expect(readings().map(({ mass }) => mass)).toEqual(sent.map(grams));
  });

  test('after stop nothing is told any more, and the box is free for others', async () => {
    const box = await createBox();
    const { until, states, link, events } = startLink(box.path);
    await until(() => states().includes('open'));
    const line = await box.line();
    const closed = new Promise((resolve) => line.once('close', resolve));
    line.resume();
    await link.stop();
    await closed;
    expect(events.at(-1)).toMatchObject({ kind: 'link', state: 'closed' });
  });
});

describe('a port over the network', () => {
  test('what is written arrives as Latin-1, and closing twice is harmless', async () => {
    const box = await createBox();
    const whys: (Error | null)[] = [];
    const port = await openTcpPort(box.path, PROFILE.serial, { ...SILENT, closed: (why) => whys.push(why) });
    await port.write('W\xfe\r\n');
    await vi.waitFor(() => expect(box.heard.join('')).toBe('W\xfe\r\n'), PATIENCE);
    await port.close();
    await port.close();
    expect(whys).toEqual([null]);
    await expect(port.write('W')).rejects.toThrow();
  });

  const failing = async (open: Promise<unknown>): Promise<unknown> =>
    open.then(
      () => 'it opened',
      (error: unknown) => error,
    );

  test('nobody listens there: refused', async () => {
    const box = await createBox();
    await box.switchOff();
    const error = await failing(openTcpPort(box.path, PROFILE.serial, SILENT));
    expect(portTrouble(error, box.path)).toMatchObject({ kind: 'refused' });
  });

  test('a box that does not answer is given up after a while, and said to be out of reach', async () => {
    const sockets: Socket[] = [];
    const dial = (): Socket => {
      const socket = new Socket(); // it never connects
      sockets.push(socket);
      return socket;
    };
    const error = await failing(tcpOpener(dial, 20)('tcp:box:4001', PROFILE.serial, SILENT));
    expect(portTrouble(error, 'tcp:box:4001')).toEqual({
      kind: 'unreachable',
      say: expect.stringMatching(/^tcp:box:4001 can't be reached: the network box is off/),
    });
    expect(sockets.map(({ destroyed }) => destroyed)).toEqual([true]);
  });

  // The codes of a failed look-up: Node's documentation of dns.lookup (ENOTFOUND), POSIX getaddrinfo (EAI_AGAIN).
  test.each(['ENOTFOUND', 'EAI_AGAIN'])(
    'a name that the network does not know (%s) is said to be one',
    async (code) => {
      const dial = tcpOpener((address) =>
        connect({
          ...address,
          lookup: (name, _options, done) =>
            done(Object.assign(new Error(`getaddrinfo ${code} ${name}`), { code }), '', 4),
        }),
      );
      const error = await failing(dial('tcp:no-such-box.invalid:4001', PROFILE.serial, SILENT));
      expect(portTrouble(error, 'tcp:no-such-box.invalid:4001')).toEqual({
        kind: 'host-unknown',
        say: 'The network does not know the name in tcp:no-such-box.invalid:4001. Look at the "port" of this scale in workshop.yaml, or write the network box\'s address there in numbers.',
      });
    },
  );

  test('a text that names no network box is refused before anything is dialled', async () => {
    const dial = vi.fn(() => new Socket());
    const error = await failing(tcpOpener(dial)('/dev/ttyUSB0', PROFILE.serial, SILENT));
    expect(String(error)).toContain('tcp:HOST:PORT');
    expect(dial).not.toHaveBeenCalled();
  });
});
