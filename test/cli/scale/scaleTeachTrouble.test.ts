/** `bismar scale teach` where nothing can be learnt: a sentence each time, and nothing is written. */
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { scaleTeach } from '../../../src/cli/scale/scaleTeach.ts';
import { readShown } from '../../../src/cli/scale/scaleTeachMoments.ts';
import type { OpenPort } from '../../../src/link/port.ts';
import { createFakeClock } from '../../fakeClock.ts';
import { finish } from '../../link/finish.ts';
import { newWorkshopFolder, runTeach, type Strange } from './teachRig.ts';

const SERIAL = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
const speak: Strange['speak'] = ({ number }) => `now ${(number / 100).toFixed(2)} g\r\n`;
const PLAIN: Strange = { serial: SERIAL, speak };

let folder = '';
let gone = async (): Promise<void> => {};
let before: Record<string, string> = {};
beforeEach(async () => {
  ({ folder, gone } = await newWorkshopFolder());
  before = files();
});
afterEach(() => gone());

function files(): Record<string, string> {
  const found: Record<string, string> = {};
  for (const each of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (each.isFile()) found[join(each.parentPath, each.name)] = readFileSync(join(each.parentPath, each.name), 'utf8');
  }
  return found;
}

/** The sentence that it ends with, in a folder that is as it was. */
async function endsWith(strange: Strange, run: Parameters<typeof runTeach>[1] = {}) {
  const ended = await runTeach(strange, { folder, ...run });
  expect(files()).toEqual(before);
  expect(ended.result).toMatchObject({ name: 'Ending' });
  return { ...ended, sentence: (ended.result as Error).message };
}

describe('what is heard', () => {
  test('nothing at all: the maker is asked to stir it, then it is asked itself, then it is told', async () => {
    const { sentence, asked, told } = await endsWith({ ...PLAIN, speak: () => undefined });
    expect(asked[0]).toContain('again and again');
    expect(asked[1]).toContain('Still nothing');
    expect(told).toContain('W');
    expect(sentence).toMatch(/says nothing\. Is it switched on/);
  });

  test('nothing, and the maker does not want it to be asked: not a byte is sent to it', async () => {
    const answers = (asked: string) => (asked.includes('Still nothing') ? 'n' : undefined);
    const { sentence, told } = await endsWith({ ...PLAIN, speak: () => undefined }, { answers });
    expect(told).toBe('');
    expect(sentence).toContain('says nothing');
  });

  test('noise', async () => {
    let seed = 7;
    const noise = () =>
      String.fromCharCode(
        ...Array.from({ length: 30 }, () => {
          seed = (seed * 1_103_515_245 + 12_345) % 2 ** 31;
          return (seed >> 12) & 0xff;
        }),
      );
    const { sentence, said } = await endsWith({ ...PLAIN, speak: noise });
    expect(sentence).toContain('at no usual speed are they the text of a scale');
    expect(said.join('')).toMatch(/^[\x20-\x7e]*$/);
  });

  test('escape sequences in the text of a scale do not reach the screen', async () => {
    const { said } = await runTeach(
      { serial: SERIAL, speak: (shown) => `\x1b[31m\x9b2J${speak(shown)}` },
      { folder, endsAt: /^2\. / },
    );
    expect(said.join('')).toMatch(/^[\x20-\x7e]*$/);
    expect(said.join('\n')).toMatch(/It sent: .*now 0\.00 g/);
  });
});

test.each<[string, (turn: number) => string]>([
  [
    'noise',
    (turn) => String.fromCharCode(...Array.from({ length: 900 }, (_, place) => (turn * 31 + place * place * 7) & 0xff)),
  ],
  ['a line without an end', () => '1'.repeat(900)],
  ['numbers without number', () => `${'1 2.3 '.repeat(150)}\r\n`],
  ['zeros', () => '\0'.repeat(900)],
  ['endings', () => '\r\n'.repeat(450)],
  ['numbers that are none', () => '1e309 --1 1.2.3 Infinity\r\n'.repeat(20)],
])('%s in the middle of teaching ends in a sentence', async (_, flood) => {
  let turn = 0;
  const { said } = await endsWith({ serial: SERIAL, speak: (shown) => (turn++ < 150 ? speak(shown) : flood(turn)) });
  expect(said.join('')).toMatch(/^[\x20-\x7e]*$/);
});

describe('the port', () => {
  const onPort = async (openPort: OpenPort, port: string) => {
    const clock = createFakeClock();
    const world = { input: new PassThrough(), print: () => {}, openPort, clock };
    const ended = await finish(
      clock,
      scaleTeach('mine', { in: folder, port }, world).catch((error: Error) => error),
    );
    expect(files()).toEqual(before);
    return ended;
  };
  test.each([
    ['is not there', '/dev/ttyUSB0', 'Error: No such file or directory, cannot open', 'There is no port /dev/ttyUSB0'],
    [
      'is held by another program',
      '/dev/ttyUSB0',
      'Error: Resource temporarily unavailable Cannot lock port',
      'Close that one and teach again',
    ],
    [
      'has a hostile name',
      '/dev/\x1b[31mx',
      'Error: No such file or directory, cannot open /dev/\x1b[31mx',
      'There is no port /dev/x',
    ],
    ['may not be used', '/dev/ttyUSB0', 'Error: Permission denied, cannot open', 'You may not use the port'],
    ['is no serial port', '/dev/null', 'Error: Inappropriate ioctl for device', '/dev/null is no serial port'],
    ['is on a network box that is off', 'tcp:box:4001', 'connect EHOSTUNREACH', "can't be reached"],
  ])('%s', async (_, port, message, say) => {
    const refuse: OpenPort = async () => {
      throw new Error(message);
    };
    const ended = await onPort(refuse, port);
    expect(ended).toMatchObject({ name: 'Ending', code: 3 });
    const { message: sentence } = ended as Error;
    expect(sentence).toContain(say);
    expect(sentence).toContain('Nothing was written');
    expect(sentence).not.toMatch(/by itself|workshop\.yaml/);
  });

  test('is pulled out in the middle', async () => {
    const { sentence } = await endsWith(PLAIN, {
      onAsked: (asked, unplug) => {
        if (asked.startsWith('2. ')) unplug();
      },
    });
    expect(sentence).toContain('cable pulled out or power lost');
  });

  test('of a network box is listened to without looking for its speed', async () => {
    const { text, opened } = await runTeach(PLAIN, { folder, port: 'tcp:box:4001', endsAt: /^1\. / });
    expect(text).toContain('Listening on tcp:box:4001. It speaks.');
    expect(opened.length).toBeLessThanOrEqual(2);
  });
});

test('a network box that hands the parity bit on: it is to be set there', async () => {
  const parity = (text: string) =>
    String.fromCharCode(
      ...Buffer.from(text).map((byte) => byte | (((byte.toString(2).match(/1/g) ?? []).length % 2) << 7)),
    );
  const { sentence } = await endsWith(
    { ...PLAIN, speak: (shown) => parity(speak(shown) ?? '') },
    { port: 'tcp:box:4001' },
  );
  expect(sentence).toContain('Set the speed, data bits and parity of the scale in the network box');
});

describe('she leaves', () => {
  test.each([
    ['with q', { answers: (asked: string) => (asked.startsWith('2. ') ? 'q' : undefined) }],
    [
      'with Q, where a display is asked for',
      { answers: (asked: string) => (/What does the/.test(asked) ? ' Q ' : undefined) },
    ],
    ['by the end of the input', { endsAt: /^2\. / }],
  ])('%s', async (_, run) => {
    const { sentence } = await endsWith(PLAIN, run);
    expect(sentence).toBe('The teaching was left before its end. Nothing was written.');
  });

  test('before anything was asked: the input is closed from the start', async () => {
    const clock = createFakeClock();
    const input = new PassThrough();
    input.end();
    const openPort: OpenPort = async (_path, _settings, hear) => ({
      write: async () => {},
      close: async () => hear.closed(null),
    });
    const world = { input, print: () => {}, openPort, clock };
    const ended = await finish(
      clock,
      scaleTeach('mine', { in: folder, port: 'x' }, world).catch((error: Error) => error),
    );
    expect(ended).toMatchObject({ message: 'The teaching was left before its end. Nothing was written.' });
  });
});

describe('wrong answers are put up with', () => {
  test('words where Enter is wanted, and a display that is no number', async () => {
    const wrong = ['what?', 's', ''];
    const displays = ['heavy', '296', 'stones', '1,234 g', '12.3.4 g', '1e309 g', '63.18 g'];
    const { asked } = await runTeach(PLAIN, {
      folder,
      endsAt: /^3\. /,
      answers: (text) => {
        if (text.startsWith('1. ') || /^Press Enter/.test(text)) return wrong.shift();
        if (/What does the|In which unit|That is no number/.test(text)) return displays.shift();
        return undefined;
      },
    });
    expect(
      asked.filter((text) => text.startsWith('Press Enter when that is done. It can not be skipped.')),
    ).toHaveLength(2);
    expect(asked.filter((text) => text.startsWith('In which unit'))).toHaveLength(1);
    expect(displays).toEqual([]);
    expect(asked.at(-1)).toMatch(/^3\. /);
  });

  test.each([
    ['296.4 g', '296.4 g'],
    ['296,4g', '296.4 g'],
    ['  -12.0 G. ', '-12.0 g'],
    ['- 0,742 kg', '-0.742 kg'],
    ['+.5 oz', '0.5 oz'],
    ['1234.50 g', '1234.50 g'],
    ['1234,500 g', '1234.500 g'],
    ['0 g', '0 g'],
  ])('%j is understood', (typed, text) => {
    expect(readShown(typed)).toEqual({ kind: 'shown', text });
  });

  test.each(['', 'g', '1,234 g', '1,234.5 g', '--1 g', '1.2.3 g', '1e309 g', '12 stone', '١٢ g', '9'.repeat(40)])(
    '%j is asked again',
    (typed) => {
      expect(readShown(typed).kind).toBe('none');
    },
  );

  test('a number alone is asked for its unit', () => {
    expect(readShown('296,40')).toEqual({ kind: 'no-unit', number: '296.40' });
  });
});

describe('a name', () => {
  test.each(['../other', 'a/b', 'Kitchen', '', '.', 'a'.repeat(41), 'kitchen scale', '-x', 'a\x1b[31m', 'x.yaml'])(
    '%j is refused with a sentence',
    async (name) => {
      const { sentence, opened } = await endsWith(PLAIN, { name });
      expect(sentence).toContain("can't be the name of a wire profile");
      expect(sentence).toMatch(/^[\x20-\x7e]*$/);
      expect(opened).toEqual([]);
    },
  );

  test('has nowhere to go: told before the teaching, not after it', async () => {
    writeFileSync(join(folder, 'scales'), 'a file, where the folder would be');
    before = files();
    const { sentence, opened } = await endsWith(PLAIN);
    expect(sentence).toContain("which can't be written to");
    expect(opened).toEqual([]);
  });

  test('that is there already is taken only when she says so', async () => {
    mkdirSync(join(folder, 'scales'));
    writeFileSync(join(folder, 'scales', 'kitchen-scale.yaml'), 'mine');
    before = files();
    const { sentence, asked } = await endsWith(PLAIN);
    expect(asked).toEqual([expect.stringContaining('has a wire profile "kitchen-scale" already')]);
    expect(sentence).toContain('another name');
  });
});

test('a folder that is no workshop, and a port that is none, are told before anything is opened', async () => {
  await expect(scaleTeach('mine', { in: join(folder, 'scales'), port: 'x' })).rejects.toThrow(
    'no place for the wire profile',
  );
  for (const port of [undefined, '', 'tcp:', 'tcp:box', 'hid:1']) {
    await expect(scaleTeach('mine', { in: folder, port })).rejects.toThrow('Which port is the scale on?');
  }
  await expect(scaleTeach('mine', { in: folder, port: 'hid:' })).rejects.toThrow('needs no teaching');
  expect(existsSync(join(folder, 'scales'))).toBe(false);
});
