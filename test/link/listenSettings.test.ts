/** A port's settings are found by ear: bits are sent at one speed and looked at by another. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { LostPort } from '../../src/link/listenPort.ts';
import { findSettings, SPEEDS } from '../../src/link/listenSettings.ts';
import type { OpenPort } from '../../src/link/port.ts';
import { judgeLineSettings } from '../../src/teach/judgeLineSettings.ts';
import type { SerialSettings } from '../../src/wire/profile.ts';
import { createFakeClock } from '../fakeClock.ts';
import { finish } from './finish.ts';
import { asHeard, type Faults, USUAL } from './uart.ts';
import { type WiredScale, wiredScale } from './wiredScale.ts';

const FORMATS = [
  { dataBits: 8, parity: 'none', stopBits: 1 },
  { dataBits: 7, parity: 'even', stopBits: 1 },
  { dataBits: 7, parity: 'odd', stopBits: 1 },
  { dataBits: 7, parity: 'none', stopBits: 2 },
  { dataBits: 8, parity: 'even', stopBits: 1 },
  { dataBits: 8, parity: 'odd', stopBits: 1 },
] as const satisfies readonly Omit<SerialSettings, 'baud'>[];

const BOTH: readonly Faults[] = [USUAL, { framing: 'give', parity: 'give' }];

const lineOf = (turn: number): string =>
  `pan ${turn % 7 === 3 ? '~' : ' '} ${(296.4 + (turn % 5) / 10).toFixed(1)} g\r\n`;

async function search(scale: Partial<WiredScale> & Pick<WiredScale, 'serial'>, patienceMs = 1200) {
  const clock = createFakeClock(5000);
  const wired = wiredScale({ clock, line: lineOf, everyMs: 100, ...scale });
  const found = await finish(clock, findSettings({ openPort: wired.openPort, path: 'port', clock, patienceMs }));
  return { found, opened: wired.opened };
}

describe('the line and the receiver of these tests', () => {
  const serial = { baud: 9600, dataBits: 7, parity: 'even', stopBits: 1 } as const;
  test('under the same settings what was sent is heard', () => {
    for (const format of FORMATS) {
      const same = { baud: 4800, ...format };
      expect(Buffer.from(asHeard(Buffer.from('12.5 g\r\n'), same, same)).toString()).toBe('12.5 g\r\n');
    }
  });
  test('an even parity bit is heard as the eighth bit', () => {
    // "1" is 0x31 with three ones, "3" is 0x33 with four.
    expect([...asHeard(Buffer.from('13'), serial, { ...serial, dataBits: 8, parity: 'none' })]).toEqual([0xb1, 0x33]);
  });
  test('at half the speed two bits are taken for one', () => {
    // "U" is 0x55: low, then 1 0 1 0 1 0 1 0, then high. At half the speed the middle of each bit is the edge of two.
    const heard = asHeard(Buffer.from('UUUU'), { ...serial, dataBits: 8, parity: 'none' }, { ...serial, baud: 4800 });
    expect(Buffer.from(heard).toString('latin1')).not.toContain('U');
  });
});

describe.each(SPEEDS)('a scale at %i baud', (baud) => {
  test.each(FORMATS)('with $dataBits data bits, parity $parity and $stopBits stop bits is found', async (format) => {
    for (const faults of BOTH) {
      const serial = { baud, ...format };
      const { found } = await search({ serial, faults });
      // Where the driver gives every byte, a parity bit behind eight bits takes nothing from the text.
      const unseen = format.dataBits === 8 && faults.framing === 'give';
      expect(found).toMatchObject({ kind: 'text', serial: unseen ? { baud, dataBits: 8, parity: 'none' } : serial });
    }
  });
});

test('what was sent at another speed never looks like text, whatever the shape', () => {
  const shapes = [
    (number: string) => `${number}g\r`,
    (number: string) => `  ${number} g\r\n`,
    (number: string) => `\x02+00${number}\x03`,
    (number: string) => `ok   +  ${number} kg\r\n`,
  ];
  fc.assert(
    fc.property(
      fc.constantFrom(...shapes),
      fc.array(fc.integer({ min: 0, max: 99_999 }), { minLength: 3, maxLength: 8 }),
      fc.constantFrom(...SPEEDS),
      fc.constantFrom(...FORMATS),
      fc.constantFrom(...BOTH),
      (shape, numbers, baud, format, faults) => {
        const lines = numbers.map((number) => Buffer.from(shape((number / 100).toFixed(2)), 'latin1'));
        for (const other of SPEEDS) {
          if (other === baud) continue;
          const settings = { baud: other, dataBits: 8, parity: 'none', stopBits: 1 } as const;
          const heard = Buffer.concat(lines.map((line) => asHeard(line, { baud, ...format }, settings, faults)));
          const { score, eighthBit } = judgeLineSettings(heard, settings);
          if (heard.length >= 24 && eighthBit !== 'set') expect(score).toBeLessThan(0.5);
        }
      },
    ),
    { numRuns: 150 },
  );
});

test('short lines on a key press are enough, once there are several', async () => {
  const serial = { baud: 1200, dataBits: 7, parity: 'odd', stopBits: 1 } as const;
  const { found } = await search({ serial, everyMs: 2500, line: (turn) => `${12 + turn}.3g\r` }, 6000);
  expect(found).toMatchObject({ kind: 'text', serial });
});

test('a display that stands still, with an even parity bit behind eight bits, is not taken for half its text', async () => {
  const serial = { baud: 9600, dataBits: 8, parity: 'even', stopBits: 1 } as const;
  const { found } = await search({ serial, line: () => 'N   0.00 g\r\n' });
  expect(found).toMatchObject({ kind: 'text', serial });
});

test('a display that shows only characters of one parity keeps its settings', async () => {
  const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
  const { found } = await search({ serial, line: () => '0.0\n' });
  expect(found).toMatchObject({ kind: 'text', serial });
});

test('a scale that speaks seldom is waited for as long as was asked for', async () => {
  const serial = { baud: 2400, dataBits: 7, parity: 'even', stopBits: 1 } as const;
  const { found } = await search({ serial, everyMs: 2500 }, 3000);
  expect(found).toMatchObject({ kind: 'text', serial });
});

test('nothing comes: silent, at every speed', async () => {
  const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
  const { found, opened } = await search({ serial, line: () => undefined });
  expect(found).toEqual({ kind: 'silent' });
  expect(opened.map(({ baud }) => baud)).toEqual([...SPEEDS]);
});

test('noise is told as noise, and a text without numbers too', async () => {
  const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
  let seed = 4;
  const noise = (): string =>
    String.fromCharCode(
      ...Array.from({ length: 40 }, () => {
        seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
        return (seed >> 12) & 0xff;
      }),
    );
  expect((await search({ serial, line: noise })).found).toEqual({ kind: 'noise' });
  expect((await search({ serial, line: () => 'hello there\r\n' })).found).toEqual({ kind: 'noise' });
});

test('a port that is not there, and one that another program has, are told by their errors', async () => {
  const clock = createFakeClock();
  const refused = (message: string) =>
    finish(
      clock,
      findSettings({
        openPort: async () => {
          throw new Error(message);
        },
        path: 'port',
        clock,
        patienceMs: 1000,
      }),
    );
  await expect(refused('Error: No such file or directory, cannot open port')).rejects.toThrow('No such file');
  const before = clock.now();
  await expect(refused('Error: Resource temporarily unavailable Cannot lock port')).rejects.toThrow('lock');
  expect(clock.now() - before).toBeGreaterThanOrEqual(2000);
});

test('it ends when it is told to', async () => {
  const clock = createFakeClock();
  const stop = new AbortController();
  const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
  const { openPort, opened } = wiredScale({ clock, serial, line: () => undefined });
  const onTry = ({ baud }: SerialSettings): void => {
    if (baud === SPEEDS[2]) stop.abort();
  };
  const found = findSettings({ openPort, path: 'port', clock, patienceMs: 1000, signal: stop.signal, onTry });
  expect(await finish(clock, found)).toEqual({ kind: 'silent' });
  expect(opened.length).toBeLessThanOrEqual(3);
});

test('a cable that is pulled out later on ends the search with that, and no further speed is tried', async () => {
  const clock = createFakeClock(5000);
  const opened: number[] = [];
  const openPort: OpenPort = async (_path, { baud }, hear) => {
    opened.push(baud);
    if (opened.length === 2) clock.setTimeout(() => hear.closed(new Error('pulled out')), 100);
    return { write: async () => {}, close: async () => {} };
  };
  const found = findSettings({ openPort, path: 'port', clock, patienceMs: 1200 });
  await expect(finish(clock, found)).rejects.toThrow(LostPort);
  expect(opened).toEqual(SPEEDS.slice(0, 2));
});
