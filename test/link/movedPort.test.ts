/** A scale whose port comes back under another name, on ports that a test plays by hand. */
import { describe, expect, test } from 'vitest';
import { FIRST_BACK_OFF_MS, LONGEST_BACK_OFF_MS, TRIAL_MS } from '../../src/link/keepOpen.ts';
import type { ListedPort } from '../../src/link/listPorts.ts';
import type { OpenPort, PortEvents } from '../../src/link/port.ts';
import { createPortDesk, type PortDesk } from '../../src/link/portDesk.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';
import { shippedProfile } from '../wire/profiles.ts';

const LINE = 'calm,+    296.4 g\r\n';
const OTHER_LINE = '16.30 g\n';

const adapter = (path: string, serialNumber?: string): ListedPort => ({
  path,
  maker: undefined,
  serialNumber,
  vendorId: '1a2b',
  productId: '0001',
  likely: true,
});

/** A computer with ports that come and go. */
function createComputer() {
  const clock = createFakeClock(1000);
  let plugged: ListedPort[] = [];
  const open = new Map<string, PortEvents>();
  const opened: string[] = [];
  const openPort: OpenPort = async (path, _settings, hear) => {
    if (!plugged.some((port) => port.path === path)) throw new Error(`No such file or directory, cannot open ${path}`);
    if (open.has(path)) throw new Error('Cannot lock port');
    open.set(path, hear);
    opened.push(path);
    return {
      write: async () => {},
      async close() {
        if (open.get(path) === hear) open.delete(path);
      },
    };
  };
  const desk = createPortDesk({
    list: async () => ({ ports: plugged, say: undefined }),
    realPath: async (path) => path,
  });
  return {
    clock,
    desk,
    openPort,
    opened,
    plug(...ports: ListedPort[]) {
      plugged = ports;
      for (const [path, hear] of [...open]) {
        if (ports.some((port) => port.path === path)) continue;
        open.delete(path);
        hear.closed(new Error('gone'));
      }
    },
    send: (path: string, text: string) => open.get(path)?.data(Buffer.from(text, 'latin1')),
    isOpen: (path: string) => open.has(path),
  };
}

type Computer = ReturnType<typeof createComputer>;

function link(computer: Computer, scale: string, path: string, profile = 'status-first', pinned?: string) {
  const events: SourceEvent[] = [];
  const shipped = shippedProfile(profile);
  const desk: PortDesk = computer.desk;
  const seat = desk.seat({ scale, path, adapter: pinned, profile: shipped });
  const source = createSerialLink({
    scale,
    path,
    profile: shipped,
    openPort: computer.openPort,
    clock: computer.clock,
    seat,
  });
  source.start((event) => events.push(event));
  return {
    states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
    said: () => events.flatMap((event) => (event.kind === 'link' && event.say ? [event.say] : [])),
    readings: () => events.filter(({ kind }) => kind === 'reading').length,
  };
}

async function sendLines(computer: Computer, path: string, line: string, count: number) {
  for (let sent = 0; sent < count; sent++) {
    computer.send(path, line);
    await computer.clock.advance(100);
  }
}

describe('a port that comes back under another name', () => {
  test('is found by the serial number of its adapter, and told', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0', 'A'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    await computer.clock.advance(10);
    computer.plug();
    await computer.clock.advance(1000);
    computer.plug(adapter('/dev/ttyUSB1', 'A'));
    await computer.clock.advance(LONGEST_BACK_OFF_MS);
    expect(bench.states()).toEqual(['opening', 'open', 'lost', 'failed', 'open']);
    expect(bench.said().at(-1)).toBe('The bench scale is back on /dev/ttyUSB1.');
    await sendLines(computer, '/dev/ttyUSB1', LINE, 3);
    expect(bench.readings()).toBe(2);
  });

  test('two scales that swap their names each find their own', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0', 'A'), adapter('/dev/ttyUSB1', 'B'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    const fine = link(computer, 'fine', '/dev/ttyUSB1');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB0', 'B'), adapter('/dev/ttyUSB1', 'A'));
    await computer.clock.advance(LONGEST_BACK_OFF_MS);
    expect(bench.said().at(-1)).toBe('The bench scale is back on /dev/ttyUSB1.');
    expect(fine.said().at(-1)).toBe('The fine scale is back on /dev/ttyUSB0.');
    await sendLines(computer, '/dev/ttyUSB1', LINE, 3);
    expect([bench.readings(), fine.readings()]).toEqual([2, 0]);
  });

  test('a stranger behind the old name is not opened', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0', 'A'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB0', 'X'));
    await computer.clock.advance(20_000);
    expect(computer.opened).toEqual(['/dev/ttyUSB0']);
    expect(bench.said().at(-1)).toMatch(/^Another adapter is at \/dev\/ttyUSB0 now/);
  });

  test('of several alike that are new, the one whose lines fit is taken, after a few good ones', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB1'), adapter('/dev/ttyUSB2'));
    await computer.clock.advance(FIRST_BACK_OFF_MS);
    expect(computer.isOpen('/dev/ttyUSB1')).toBe(true);
    await sendLines(computer, '/dev/ttyUSB1', OTHER_LINE, 3);
    expect(computer.isOpen('/dev/ttyUSB1')).toBe(false);
    await computer.clock.advance(1000);
    expect(computer.isOpen('/dev/ttyUSB2')).toBe(true);
    expect(bench.states()).toEqual(['opening', 'open', 'lost']);
    await sendLines(computer, '/dev/ttyUSB2', LINE, 3); // the first is dropped, the others prove
    expect([bench.states().at(-1), bench.readings()]).toEqual(['lost', 0]);
    await sendLines(computer, '/dev/ttyUSB2', LINE, 2);
    expect(bench.states()).toEqual(['opening', 'open', 'lost', 'open']);
    expect(bench.said().at(-1)).toBe('The bench scale is back on /dev/ttyUSB2.');
    expect(bench.readings()).toBe(1);
  });

  test('one that says nothing is given up, and the next is tried', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB1'), adapter('/dev/ttyUSB2'));
    await computer.clock.advance(TRIAL_MS + 2 * FIRST_BACK_OFF_MS + 500);
    expect(computer.opened.slice(1)).toEqual(['/dev/ttyUSB1', '/dev/ttyUSB2']);
    expect(bench.states().at(-1)).toBe('lost');
  });

  test('two alike that speak alike are not guessed at: nothing is read, and it is said', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0'), adapter('/dev/ttyUSB1'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    const fine = link(computer, 'fine', '/dev/ttyUSB1');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB2'));
    await computer.clock.advance(FIRST_BACK_OFF_MS);
    await sendLines(computer, '/dev/ttyUSB2', LINE, 200);
    expect([bench.readings(), fine.readings()]).toEqual([0, 0]);
    expect(bench.states().at(-1)).toBe('failed');
    expect([...bench.said(), ...fine.said()].join(' ')).toMatch(
      /it may be the bench or the fine scale: they speak alike/,
    );
  });

  test('two alike that speak differently are told apart by it', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0'), adapter('/dev/ttyUSB1'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0');
    const fine = link(computer, 'fine', '/dev/ttyUSB1', 'number-and-unit');
    await computer.clock.advance(10);
    computer.plug();
    computer.plug(adapter('/dev/ttyUSB2'));
    for (let round = 0; round < 200 && fine.states().at(-1) !== 'open'; round++) {
      await sendLines(computer, '/dev/ttyUSB2', OTHER_LINE, 1);
    }
    expect(fine.said().at(-1)).toBe('The fine scale is back on /dev/ttyUSB2.');
    await sendLines(computer, '/dev/ttyUSB2', OTHER_LINE, 2);
    expect(bench.readings()).toBe(0);
    expect(bench.states().at(-1)).not.toBe('open');
    expect(fine.readings()).toBeGreaterThan(0);
  });

  test('a pinned adapter is found at the first start under any name, and nothing else is opened', async () => {
    const computer = createComputer();
    computer.plug(adapter('/dev/ttyUSB0', 'X'), adapter('/dev/ttyUSB4', 'A'));
    const bench = link(computer, 'bench', '/dev/ttyUSB0', 'status-first', 'A');
    const fine = link(computer, 'fine', '/dev/ttyUSB0', 'status-first', 'B');
    await computer.clock.advance(1000);
    expect(computer.opened).toEqual(['/dev/ttyUSB4']);
    expect(bench.said()).toEqual(['The bench scale is on /dev/ttyUSB4.']);
    expect(fine.said()[0]).toMatch(/^The adapter "B" of the fine scale is not plugged in/);
  });
});
