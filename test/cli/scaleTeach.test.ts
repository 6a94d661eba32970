/** `bismar scale teach`, from the first byte to the written profile, with scales that no shipped profile knows. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { decode } from '../../src/wire/decode.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';
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
