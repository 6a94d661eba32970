/**
 * A USB scale of the HID standard, over a library that a test plays by hand.
 *
 * Source of the reports: USB-IF HID Usage Tables, weighing devices page 0x8D (states, units, exponent, weight).
 */
import { describe, expect, test } from 'vitest';
import type { HidDevice, HidInfo, HidLibrary } from '../../src/link/hidLibrary.ts';
import { NoHidLibrary } from '../../src/link/hidLibrary.ts';
import { createHidSource } from '../../src/link/hidSource.ts';
import { FIRST_BACK_OFF_MS, GIVE_UP_MS, LONGEST_BACK_OFF_MS } from '../../src/link/keepOpen.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { type HidSpec, readPortText } from '../../src/workshop/portText.ts';
import { createFakeClock } from '../fakeClock.ts';

/** Weighing devices, in the USB-IF's list of usage pages. */
const SCALE_PAGE = 0x8d;
const TWENTY_GRAMS = '03 04 02 00 14 00';

const scale = (path: string, serialNumber?: string): HidInfo => ({
  path,
  vendorId: 0x1a2b,
  productId: 0x0001,
  serialNumber,
  usagePage: SCALE_PAGE,
});

interface FakeDevice extends HidDevice {
  say(hex: string): void;
  fail(message: string): void;
  readonly closed: boolean;
}

/** A computer with USB scales that come and go. */
function createUsb() {
  const clock = createFakeClock(1000);
  let plugged: readonly HidInfo[] = [];
  let locked: string | undefined;
  const descriptors = new Map<string, Uint8Array>();
  const open = new Map<string, FakeDevice>();
  const opened: string[] = [];

  function makeDevice(): FakeDevice {
    const listeners = { data: [] as ((report: Uint8Array) => void)[], error: [] as ((error: Error) => void)[] };
    let closed = false;
    return {
      on(event: 'data' | 'error', listener: ((report: Uint8Array) => void) & ((error: Error) => void)) {
        listeners[event].push(listener);
      },
      async close() {
        closed = true;
      },
      say: (hex) => {
        const report = Uint8Array.from(Buffer.from(hex.replaceAll(' ', ''), 'hex'));
        for (const listener of listeners.data) listener(report);
      },
      fail: (message) => {
        for (const listener of listeners.error) listener(new Error(message));
      },
      get closed() {
        return closed;
      },
    };
  }

  const library: HidLibrary = {
    list: async () => plugged,
    async open(path) {
      if (locked !== undefined) throw new Error(locked);
      if (!plugged.some((each) => each.path === path)) throw new Error(`cannot open device with path ${path}`);
      const device = makeDevice();
      open.set(path, device);
      opened.push(path);
      return device;
    },
    descriptor: async (path) => descriptors.get(path),
  };

  return {
    clock,
    library,
    opened,
    descriptors,
    /** What is plugged in from now on; a device that is gone fails to be read, unless it goes without a word. */
    plug(next: readonly HidInfo[], { wordless = false } = {}) {
      plugged = next;
      for (const [path, device] of [...open]) {
        if (next.some((each) => each.path === path)) continue;
        open.delete(path);
        if (!wordless) device.fail('could not read from HID device');
      }
    },
    lock(message: string | undefined) {
      locked = message;
    },
    device(path: string): FakeDevice {
      const device = open.get(path);
      if (!device) throw new Error(`${path} is not open`);
      return device;
    },
  };
}

type Usb = ReturnType<typeof createUsb>;

function specOf(text: string): HidSpec {
  const named = readPortText(text);
  if (named?.kind !== 'hid') throw new Error(`${text} names no USB scale`);
  return named.spec;
}

function startSource(
  usb: Usb,
  port = 'hid:',
  more: { library?: () => Promise<HidLibrary>; mayBeQuiet?: boolean } = {},
) {
  const events: SourceEvent[] = [];
  const source = createHidSource({
    scale: 'bench',
    spec: specOf(port),
    mayBeQuiet: false,
    clock: usb.clock,
    library: async () => usb.library,
    platform: 'linux',
    ...more,
  });
  source.start((event) => events.push(event));
  return {
    events,
    source,
    states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
    said: () => events.flatMap((event) => (event.kind === 'link' && event.say ? [event.say] : [])),
    lines: () => events.filter((event) => event.kind !== 'link'),
  };
}

describe('what a USB scale says', () => {
  test.each([
    ['03 04 02 00 14 00', { mass: 20_000_000, unit: 'g', stable: true }], // 20 g at rest
    ['03 03 02 FF D2 04', { mass: 123_400_000, unit: 'g', stable: false }], // 1234 x 10^-1 g, moving
    ['03 04 0B FF 28 00', { mass: 113_398_092, unit: 'oz', stable: true }], // 40 x 10^-1 oz (avoirdupois, 1959)
    ['03 02 03 FD 00 00', { mass: 0, unit: 'kg', stable: true }], // at the centre of zero
  ])('%s is a weight', async (report, reading) => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    const { lines } = startSource(usb);
    await usb.clock.advance(10);
    usb.device('usb1').say(report);
    expect(lines()).toEqual([{ kind: 'reading', reading: { ...reading, at: usb.clock.now(), raw: report } }]);
  });

  test.each([
    ['03 01 02 00 14 00', 'fault'],
    ['03 05 02 00 14 00', 'under-range'],
    ['03 06 02 00 14 00', 'over-range'],
    ['03 07 02 00 14 00', 'fault'], // asks to be calibrated
    ['03 08 02 00 14 00', 'fault'], // asks to be set to zero
  ])('%s is a state and never a weight: %s', async (report, condition) => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    const { lines } = startSource(usb);
    await usb.clock.advance(10);
    usb.device('usb1').say(report);
    expect(lines()).toEqual([expect.objectContaining({ kind: 'condition', condition })]);
  });

  test('where the system tells the layout, that counts; one without a weight is said to be none', async () => {
    // A mouse with three buttons, as in the USB Device Class Definition for HID 1.11, appendix E.10 (from memory).
    const mouse = [
      '05 01 09 02 a1 01 09 01 a1 00 05 09 19 01 29 03 15 00 25 01 75 01 95 03 81 02 95 01 75 05 81 01',
      '05 01 09 30 09 31 15 81 25 7f 75 08 95 02 81 06 c0 c0',
    ].join(' ');
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    usb.descriptors.set('usb1', Uint8Array.from(Buffer.from(mouse.replaceAll(' ', ''), 'hex')));
    const { states, said } = startSource(usb);
    await usb.clock.advance(10);
    expect(states()).toEqual(['opening', 'failed']);
    expect(said()).toEqual([
      "The USB scale hid:1a2b:0001 does not send its weight as the standard says, so it can't be read. If it has a serial port, use that one.",
    ]);
    expect(usb.opened).toEqual([]);
  });
});

describe('a USB scale that comes and goes', () => {
  test('pulled out it is told at once; plugged in again, under another path, it goes on by itself', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1', 'A')]);
    const { states, said, lines } = startSource(usb);
    await usb.clock.advance(10);
    usb.device('usb1').say(TWENTY_GRAMS);
    const old = usb.device('usb1');
    usb.plug([]);
    expect(states()).toEqual(['opening', 'open', 'lost']);
    expect(said()[0]).toMatch(/^The scale "bench" is gone from USB: .*Plug it in.*What is recorded is safe\.$/);
    expect(old.closed).toBe(true);
    old.say(TWENTY_GRAMS); // a late report of the old one
    expect(lines()).toHaveLength(1);
    await usb.clock.advance(3 * LONGEST_BACK_OFF_MS);
    expect(states()).toEqual(['opening', 'open', 'lost', 'failed']);
    expect(said()[1]).toMatch(/^There is no USB scale hid:1a2b:0001:A\. Plug the bench scale in/);
    usb.plug([scale('usb7', 'A')]);
    await usb.clock.advance(LONGEST_BACK_OFF_MS);
    usb.device('usb7').say(TWENTY_GRAMS);
    expect(states()).toEqual(['opening', 'open', 'lost', 'failed', 'open']);
    expect(lines()).toHaveLength(2);
  });

  test('one that goes without a word is missed in the list, though it may be quiet for hours', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    const { states } = startSource(usb, 'hid:', { mayBeQuiet: true });
    await usb.clock.advance(10 * GIVE_UP_MS);
    expect(states()).toEqual(['opening', 'open']);
    usb.plug([], { wordless: true });
    await usb.clock.advance(GIVE_UP_MS);
    expect(states().slice(0, 3)).toEqual(['opening', 'open', 'lost']);
  });

  test('one that falls silent is given up and opened anew', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    const { states, lines } = startSource(usb);
    await usb.clock.advance(GIVE_UP_MS + FIRST_BACK_OFF_MS + 10);
    expect(states()).toEqual(['opening', 'open', 'lost']);
    expect(usb.opened).toEqual(['usb1', 'usb1']);
    usb.device('usb1').say(TWENTY_GRAMS);
    expect(states().at(-1)).toBe('open');
    expect(lines()).toHaveLength(1);
  });

  test('after stop nothing is told, and the device is closed', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    const { source, states, lines } = startSource(usb);
    await usb.clock.advance(10);
    const device = usb.device('usb1');
    await source.stop();
    device.say(TWENTY_GRAMS);
    expect([states().at(-1), lines(), device.closed]).toEqual(['closed', [], true]);
  });
});

describe('which of several', () => {
  test('two of a kind are told apart by their serial numbers', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1', 'A'), scale('usb2', 'B')]);
    const { states } = startSource(usb, 'hid:1a2b:0001:B');
    await usb.clock.advance(10);
    expect([states(), usb.opened]).toEqual([['opening', 'open'], ['usb2']]);
  });

  test('which one is not guessed: the maker is asked to name it', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1', 'A'), scale('usb2', 'B')]);
    const { said } = startSource(usb);
    await usb.clock.advance(10);
    expect(said()).toEqual([
      expect.stringMatching(
        /^There is more than one USB scale.*: hid:1a2b:0001:A, hid:1a2b:0001:B\. Write into workshop\.yaml/,
      ),
    ]);
    expect(usb.opened).toEqual([]);
  });

  test('one that was connected is not replaced by its twin', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1', 'A')]);
    const { states, said } = startSource(usb); // any would have done at first
    await usb.clock.advance(10);
    usb.plug([scale('usb2', 'B')]);
    await usb.clock.advance(20_000);
    expect(usb.opened).toEqual(['usb1']);
    expect(states().at(-1)).toBe('failed');
    expect(said().at(-1)).toMatch(/^There is no USB scale hid:1a2b:0001:A\./);
  });

  test('other devices are none, and one that is listed for several uses is one', async () => {
    const usb = createUsb();
    usb.plug([{ ...scale('mouse'), usagePage: 1 }, { ...scale(''), path: undefined }, scale('usb1'), scale('usb1')]);
    const { states } = startSource(usb);
    await usb.clock.advance(10);
    expect([states(), usb.opened]).toEqual([['opening', 'open'], ['usb1']]);
  });
});

describe('what is in the way, in words', () => {
  test('no library: what to install, and what works without it', async () => {
    const say = 'USB scales need the library.';
    const usb = createUsb();
    const { states, said } = startSource(usb, 'hid:', {
      library: async () => {
        throw new NoHidLibrary(say);
      },
    });
    await usb.clock.advance(10);
    expect([states(), said()]).toEqual([['opening', 'failed'], [say]]);
  });

  test.each([
    [
      'linux',
      /^You may not use the USB scale hid:1a2b:0001\. Write this line into the file .*idVendor\}=="1a2b".*udevadm/,
    ],
    ['darwin', /^You may not use the USB scale hid:1a2b:0001, or another program has it\./],
  ] as const)('no permission on %s, and it goes on by itself when that is mended', async (platform, words) => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    usb.lock('cannot open device: Permission denied');
    const events: SourceEvent[] = [];
    const source = createHidSource({
      scale: 'bench',
      spec: specOf('hid:'),
      mayBeQuiet: false,
      clock: usb.clock,
      library: async () => usb.library,
      platform,
    });
    source.start((event) => events.push(event));
    await usb.clock.advance(10);
    expect(events.at(-1)).toMatchObject({ kind: 'link', state: 'failed', say: expect.stringMatching(words) });
    usb.lock(undefined);
    await usb.clock.advance(LONGEST_BACK_OFF_MS);
    expect(events.at(-1)).toMatchObject({ kind: 'link', state: 'open' });
  });

  test('an error that nobody knows is shown as it is, cleaned', async () => {
    const usb = createUsb();
    usb.plug([scale('usb1')]);
    usb.lock('odd \x1b[31mtrouble');
    const { said } = startSource(usb);
    await usb.clock.advance(10);
    expect(said()[0]).toMatch(/^The USB scale hid:1a2b:0001 can't be opened: odd .*trouble\. Pull its cable out/);
    expect(said()[0]).not.toMatch(/\x1b/);
  });
});
