/** `bismar scale teach`, from the first byte to the written profile, with scales that no shipped profile knows. */
import {
  chmodSync,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { decode, decodeLine } from '../../../src/wire/decode.ts';
import { readProfile } from '../../../src/wire/readProfile.ts';
import { createReceiver } from '../../../src/wire/receiver.ts';
import { readWorkshop } from '../../../src/workshop/readWorkshop.ts';
import { newWorkshopFolder, runTeach, type Strange } from './teachRig.ts';

const grams = (number: number, wide: number) => (Math.abs(number) / 100).toFixed(2).padStart(wide);

const PLAIN: Strange = {
  serial: { baud: 4800, dataBits: 7, parity: 'even', stopBits: 1 },
  speak: ({ number, stable }) => `${stable ? 'calm' : 'busy'} ${number < 0 ? '-' : ' '}${grams(number, 8)} g\r\n`,
};

let folder = '';
let gone = async (): Promise<void> => {};
beforeEach(async () => {
  ({ folder, gone } = await newWorkshopFolder());
});
afterEach(() => gone());

const profileText = () => readFileSync(join(folder, 'scales', 'kitchen-scale.yaml'), 'utf8');

function learnt() {
  const read = readProfile('kitchen-scale', 'kitchen-scale.yaml', profileText());
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.profile;
}

/** What the learnt profile makes of a line: micrograms, or why not. */
function means(line: string): unknown {
  const decoded = decode(learnt(), line, 0);
  return decoded.kind === 'reading' ? decoded.reading.mass : decoded.kind;
}

describe('a scale that speaks by itself', () => {
  test('is learnt with its settings, shown live, written, and connected', async () => {
    const { result, text } = await runTeach(PLAIN, {
      folder,
      answers: (asked) => (asked.includes('Which scale') ? 'bench' : undefined),
    });
    expect(result).toBe(0);
    expect(learnt().serial).toEqual(PLAIN.serial);
    expect(means('calm    123.45 g')).toBe(123_450_000);
    expect(means('busy -    1.00 g')).toBe(-1_000_000);
    expect(text).toMatch(/(certain|likely) number: /);
    expect(text).toContain('OK: the wire profile "kitchen-scale"');
    expect(text.match(/31\.460 g settled calm/g)).toHaveLength(5);
    const read = readWorkshop('workshop.yaml', readFileSync(join(folder, 'workshop.yaml'), 'utf8'));
    expect(read.ok && read.workshop.scales.get('bench')).toMatchObject({
      port: '/dev/ttyUSB0',
      profile: 'kitchen-scale',
    });
  });

  test('the maker leaves the workshop file alone, or leaves there: the profile is written, the file as it was', async () => {
    const before = readFileSync(join(folder, 'workshop.yaml'), 'utf8');
    const { result, text } = await runTeach(PLAIN, { folder });
    expect(result).toBe(0);
    expect(text).toContain(
      'Write these two lines under the scale in workshop.yaml: port: "/dev/ttyUSB0" profile: kitchen-scale',
    );
    const again = await runTeach(PLAIN, { folder, name: 'other', endsAt: /Which scale/ });
    expect(again.result).toBe(0);
    expect(existsSync(join(folder, 'scales', 'other.yaml'))).toBe(true);
    expect(readFileSync(join(folder, 'workshop.yaml'), 'utf8')).toBe(before);
  });

  test('the workshop file keeps its rights, and stays a link where it is one', async () => {
    const real = join(folder, 'elsewhere.yaml');
    renameSync(join(folder, 'workshop.yaml'), real);
    symlinkSync(real, join(folder, 'workshop.yaml'));
    chmodSync(real, 0o600);
    const { result } = await runTeach(PLAIN, {
      folder,
      answers: (asked) => (asked.includes('Which scale') ? 'bench' : undefined),
    });
    expect(result).toBe(0);
    expect(readFileSync(real, 'utf8')).toContain('kitchen-scale');
    expect(lstatSync(join(folder, 'workshop.yaml')).isSymbolicLink()).toBe(true);
    expect(statSync(real).mode & 0o777).toBe(0o600);
    expect(readdirSync(folder).sort()).toEqual(['elsewhere.yaml', 'scales', 'workshop.yaml']);
  });

  test('a scale of another name is asked for again', async () => {
    const ids = ['kitchen', 'bench'];
    const { result, asked } = await runTeach(PLAIN, {
      folder,
      answers: (text) => (/Which scale|^There are/.test(text) ? ids.shift() : undefined),
    });
    expect(result).toBe(0);
    expect(asked.at(-1)).toBe('There are: bench, fine. (Enter: none)');
  });

  test('the maker says that the readings do not agree: nothing is written', async () => {
    const { result } = await runTeach(PLAIN, {
      folder,
      answers: (asked) => (/Did these agree/.test(asked) ? 'n' : undefined),
    });
    expect(String(result)).toContain('not learnt rightly');
    expect(existsSync(join(folder, 'scales'))).toBe(false);
  });

  test('what she types as shown is never what the scale sends: nothing is written', async () => {
    let turn = 0;
    const { result } = await runTeach(PLAIN, {
      folder,
      answers: (asked) => {
        if (!/What does the display/.test(asked)) return undefined;
        turn += 1;
        return `${70 + turn * 3}.11 g`;
      },
    });
    expect(result).toMatchObject({ name: 'Ending' });
    expect(existsSync(join(folder, 'scales'))).toBe(false);
  });

  test('a profile of that name is replaced once she has said so', async () => {
    mkdirSync(join(folder, 'scales'));
    writeFileSync(join(folder, 'scales', 'kitchen-scale.yaml'), 'mine');
    const left = await runTeach(PLAIN, {
      folder,
      answers: (asked) => (/already/.test(asked) ? 'y' : /^4\. /.test(asked) ? 'q' : undefined),
    });
    expect(left.result).toMatchObject({ name: 'Ending' });
    expect(profileText()).toBe('mine');
    const { result } = await runTeach(PLAIN, {
      folder,
      answers: (asked) => (/already/.test(asked) ? 'yes' : undefined),
    });
    expect(result).toBe(0);
    expect(means('calm    123.45 g')).toBe(123_450_000);
  });
});

test('a scale that speaks only when it is asked', async () => {
  const { result } = await runTeach(
    { serial: { baud: 2400, dataBits: 8, parity: 'none', stopBits: 1 }, speak: PLAIN.speak, question: 'W\r' },
    { folder },
  );
  expect(result).toBe(0);
  const { ask, rhythm, serial } = learnt();
  expect({ ask, rhythm, serial }).toMatchObject({ ask: { bytes: 'W\r' }, rhythm: 'asked', serial: { baud: 2400 } });
});

test('a scale that speaks only on a key press', async () => {
  const { result } = await runTeach(
    {
      serial: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 },
      speak: (shown) => (shown.keyPressed ? PLAIN.speak(shown) : undefined),
    },
    { folder },
  );
  expect(result).toBe(0);
  expect(learnt().rhythm).toBe('on-key');
  expect(means('calm    123.45 g')).toBe(123_450_000);
});

test('a scale that speaks only once it has come to rest', async () => {
  let told = false;
  const { result } = await runTeach(
    {
      serial: { baud: 1200, dataBits: 7, parity: 'odd', stopBits: 1 },
      speak(shown) {
        const now = shown.stable && !told;
        told = shown.stable;
        return now ? `${shown.number < 0 ? '-' : '+'}${grams(shown.number, 7).replaceAll(' ', '0')}g\r` : undefined;
      },
    },
    { folder },
  );
  expect(result).toBe(0);
  expect(learnt().rhythm).toBe('on-settled');
  expect(learnt().serial).toMatchObject({ baud: 1200, dataBits: 7, parity: 'odd' });
  expect(means('+0123.45g')).toBe(123_450_000);
});

test('through a network box', async () => {
  const { result } = await runTeach(
    { ...PLAIN, serial: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } },
    {
      folder,
      port: 'tcp:box:4001',
      answers: (asked) => (asked.includes('Which scale') ? 'fine' : undefined),
    },
  );
  expect(result).toBe(0);
  const read = readWorkshop('workshop.yaml', readFileSync(join(folder, 'workshop.yaml'), 'utf8'));
  expect(read.ok && read.workshop.scales.get('fine')?.port).toBe('tcp:box:4001');
});

describe('shapes of lines, each taught from the first byte; a weight never heard before is then read rightly', () => {
  const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
  const sign = (number: number) => (number < 0 ? '-' : '+');
  const zeros = (number: number) => grams(number, 8).replaceAll(' ', '0');
  const sumOf = (text: string) =>
    ([...text].reduce((sum, each) => sum + each.charCodeAt(0), 0) & 0xff).toString(16).toUpperCase().padStart(2, '0');
  const summed = (text: string) => `\x02${text}${sumOf(text)}\x03`;

  test.each<[string, Strange['speak']]>([
    [
      'between start and end bytes',
      ({ number, stable }) => `\x02${stable ? 'r' : 'w'}${sign(number)}${zeros(number)}g\x03`,
    ],
    ['with a sum', ({ number, stable }) => summed(`${stable ? 'r' : 'w'}${sign(number)}${grams(number, 8)} g`)],
    [
      'of fixed length, without an ending',
      ({ number, stable }) => `=${sign(number)}${zeros(number)}${stable ? ' ' : '!'}`,
    ],
    [
      'of two lines',
      ({ number, stable }) => `load ${sign(number)}${grams(number, 8)} g\r\npan ${stable ? 'calm' : 'busy'}\r\n`,
    ],
    [
      'with the unit only at rest',
      ({ number, stable }) => `${sign(number)}${grams(number, 9)} ${stable ? 'g' : ' '}\r\n`,
    ],
    ['with the sign behind, and no word on rest', ({ number }) => `${grams(number, 8)}${number < 0 ? '-' : ' '}g\n`],
    [
      'with a decimal comma',
      ({ number, stable }) => `${stable ? ' ' : '?'}${sign(number)} ${grams(number, 8).replace('.', ',')} g\r\n`,
    ],
    ['without a unit', ({ number }) => `${number < 0 ? '-' : ''}${grams(number, 0)}\r\n`],
  ])('%s', async (_, speak) => {
    const { result } = await runTeach({ serial, speak }, { folder });
    expect(result).toBe(0);
    const profile = learnt();
    const heard: unknown[] = [];
    const receiver = createReceiver(
      profile,
      (line) => {
        const said = decodeLine(profile, line);
        if (said.kind === 'reading') heard.push(said.reading.mass);
      },
      () => {},
    );
    receiver.begin();
    const numbers = [27_183, 27_183, -1_250, -1_250, 0, 0];
    for (const number of numbers) {
      const text = speak({ number, stable: true, isNew: true, keyPressed: true }) ?? '';
      receiver.write(Buffer.from(text, 'latin1'), 0);
    }
    expect(heard).toEqual(expect.arrayContaining([271_830_000, -12_500_000, 0]));
    expect(heard.every((mass) => numbers.includes(Number(mass) / 10_000))).toBe(true);
  });
});

test('a display that was typed wrongly is asked for once more', async () => {
  let wrong = true;
  const { result, text } = await runTeach(PLAIN, {
    folder,
    answers: (asked) => {
      if (!wrong || !/What does the display/.test(asked)) return undefined;
      wrong = false;
      return '63.81 g';
    },
  });
  expect(text).toContain('does not agree with what you typed');
  expect(result).toBe(0);
  expect(means('calm    123.45 g')).toBe(123_450_000);
});
