/** One suite for every implementation of `Port`: the cable in memory, the serial library's mock, a real serial port. */
import { SerialPortMock } from 'serialport';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { createMemoryCable } from '../../src/link/memoryPort.ts';
import type { Port } from '../../src/link/port.ts';
import { openSerialPort, openStream, optionsOf } from '../../src/link/serialPort.ts';
import { startPair } from '../../src/link/startPair.ts';
import type { SerialSettings } from '../../src/wire/profile.ts';
import { hasSocat } from '../pairs.ts';

const SETTINGS: SerialSettings = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 };

/** What a port has told. */
function listener() {
  const bytes: number[] = [];
  const closed: (Error | null)[] = [];
  return {
    bytes,
    closed,
    hear: {
      data: (chunk: Uint8Array) => bytes.push(...chunk),
      closed: (why: Error | null) => closed.push(why),
      error: () => {},
    },
  };
}

interface Setup {
  /** Opens the port under test. */
  open(hear: ReturnType<typeof listener>['hear']): Promise<Port>;
  /** Bytes come from the other side. */
  arrive(bytes: Uint8Array): Promise<void>;
  /** What the other side got. */
  sent(): Promise<readonly number[]>;
  end(): Promise<void>;
}

async function memory(): Promise<Setup> {
  const cable = createMemoryCable();
  const far = listener();
  const farPort = await cable.far('far', SETTINGS, far.hear);
  return {
    open: (hear) => cable.near('near', SETTINGS, hear),
    arrive: (bytes) => farPort.write(bytes),
    sent: async () => far.bytes,
    end: () => farPort.close(),
  };
}

async function mock(): Promise<Setup> {
  const path = '/dev/ROBOT';
  SerialPortMock.binding.createPort(path, { record: true, echo: false });
  let stream: SerialPortMock | undefined;
  return {
    async open(hear) {
      stream = new SerialPortMock({ path, ...optionsOf(SETTINGS), autoOpen: false });
      return openStream(stream, path, hear);
    },
    arrive: async (bytes) => stream?.port?.emitData(Buffer.from(bytes)),
    sent: async () => [...(stream?.port?.recording ?? [])],
    end: async () => SerialPortMock.binding.reset(),
  };
}

async function real(): Promise<Setup> {
  const pair = await startPair();
  const far = listener();
  const farPort = await openSerialPort(pair.far, SETTINGS, far.hear);
  return {
    open: (hear) => openSerialPort(pair.near, SETTINGS, hear),
    arrive: (bytes) => farPort.write(bytes),
    sent: async () => far.bytes,
    async end() {
      await farPort.close();
      await pair.kill();
    },
  };
}

const kinds = [
  { name: 'the cable in memory', make: memory, skip: false },
  { name: "the serial library's mock", make: mock, skip: false },
  {
    name: `a real serial port${hasSocat ? '' : ' (skipped: "socat" is not installed, so there is no pseudo-terminal pair)'}`,
    make: real,
    skip: !hasSocat,
  },
];

for (const { name, make, skip } of kinds) {
  describe.skipIf(skip)(name, () => {
    const setups: Setup[] = [];
    const setUp = async () => {
      const setup = await make();
      setups.push(setup);
      const near = listener();
      return { setup, near, port: await setup.open(near.hear) };
    };
    afterEach(async () => {
      for (const setup of setups.splice(0)) await setup.end();
    });

    test('every byte arrives, in order and unchanged', async () => {
      const { setup, near, port } = await setUp();
      const all = Uint8Array.from({ length: 256 }, (_, value) => value);
      await setup.arrive(all);
      await vi.waitFor(() => expect(near.bytes).toHaveLength(256));
      expect(near.bytes).toEqual([...all]);
      await port.close();
    });

    test('what is written goes out; text as Latin-1', async () => {
      const { setup, port } = await setUp();
      await port.write('weight?\r');
      await port.write('\u00e9');
      await port.write(Uint8Array.of(0, 255));
      const wanted = [...Buffer.from('weight?\r\u00e9', 'latin1'), 0, 255];
      await vi.waitFor(async () => expect(await setup.sent()).toEqual(wanted));
      await port.close();
    });

    test('an asked-for close is told once, without an error; closing again is harmless', async () => {
      const { near, port } = await setUp();
      await port.close();
      await port.close();
      expect(near.closed).toEqual([null]);
    });

    test('nothing comes after the close', async () => {
      const { setup, near, port } = await setUp();
      await port.close();
      await setup.arrive(Uint8Array.of(65)).catch(() => {});
      await new Promise((resolve) => setImmediate(resolve));
      expect(near.bytes).toEqual([]);
    });

    test('it can be opened only once at a time, and again after it was closed', async () => {
      const { setup, port } = await setUp();
      await expect(setup.open(listener().hear)).rejects.toThrow(/lock/i);
      await port.close();
      const again = await setup.open(listener().hear);
      await again.close();
    });
  });
}

test('the mock of a port that is not there rejects', async () => {
  const stream = new SerialPortMock({ path: '/dev/none', ...optionsOf(SETTINGS), autoOpen: false });
  await expect(openStream(stream, '/dev/none', listener().hear)).rejects.toThrow(/does not exist/);
});
