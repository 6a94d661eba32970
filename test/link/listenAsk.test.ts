/** A silent scale is asked, in a way that can't harm it. */
import { describe, expect, test } from 'vitest';
import { ASKED_AT, findAsk, keepAsking, QUESTIONS } from '../../src/link/listenAsk.ts';
import { joined, openEar } from '../../src/link/listenPort.ts';
import { SPEEDS } from '../../src/link/listenSettings.ts';
import type { SerialSettings } from '../../src/wire/profile.ts';
import { createFakeClock } from '../fakeClock.ts';
import { finish } from './finish.ts';
import { asHeard } from './uart.ts';
import { type WiredScale, wiredScale } from './wiredScale.ts';

const line = (turn: number): string => `{ ${(296.4 + (turn % 3) / 10).toFixed(1)} g }\r\n`;

async function search(scale: Partial<WiredScale> & Pick<WiredScale, 'serial'>) {
  const clock = createFakeClock(1000);
  const wired = wiredScale({ clock, line, ...scale });
  const found = await finish(clock, findAsk({ openPort: wired.openPort, path: 'port', clock }));
  return { found, told: wired.told };
}

const USUAL_SERIAL = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;

describe('what a scale answers to is found, with its ending', () => {
  test.each([
    ['W', 'W', 'none'],
    ['S\r', 'S', 'cr'],
    ['P\r\n', 'P', 'crlf'],
    ['\x05', '\x05', 'none'],
    ['?\r', '?', 'cr'],
  ] as const)('%j', async (question, send, ending) => {
    const { found } = await search({ serial: USUAL_SERIAL, question });
    expect(found).toMatchObject({ ask: { send, ending }, serial: USUAL_SERIAL });
  });

  test('also by a scale that thinks for so long that the answer comes after the next piece', async () => {
    const { found } = await search({ serial: USUAL_SERIAL, question: 'W', answersAfterMs: 350 });
    // The bare letter is what it answers to; with an ending behind it, it answers all the same.
    expect(found?.ask.send).toBe('W');
  });

  test.each([
    { baud: 1200, dataBits: 7, parity: 'even', stopBits: 1 },
    { baud: 19_200, dataBits: 7, parity: 'odd', stopBits: 1 },
    { baud: 2400, dataBits: 8, parity: 'even', stopBits: 1 },
  ] as const)('under $baud baud, $dataBits bits, parity $parity', async (serial) => {
    // It drops what comes with the wrong parity, as such scales do.
    const { found } = await search({ serial, question: 'W\r\n' });
    expect(found).toMatchObject({ ask: { send: 'W', ending: 'crlf' }, serial });
  });
});

test('a scale that never answers is told as such, and so is one that only sends back what it hears', async () => {
  expect((await search({ serial: USUAL_SERIAL })).found).toBeUndefined();
  expect((await search({ serial: USUAL_SERIAL, question: 'W', line: () => 'W' })).found).toBeUndefined();
});

test('an answer without a number is no answer', async () => {
  expect((await search({ serial: USUAL_SERIAL, question: 'W', line: () => 'what?\r\n' })).found).toBeUndefined();
});

test('the bytes of a question are sent apart while the settings are not known', async () => {
  const clock = createFakeClock();
  const written: { bytes: string; at: number }[] = [];
  const scale = wiredScale({ clock, serial: USUAL_SERIAL, question: 'W\r\n', line });
  await finish(
    clock,
    findAsk({
      openPort: async (path, settings, hear) => {
        const port = await scale.openPort(path, settings, hear);
        return {
          ...port,
          write(bytes) {
            written.push({ bytes: String(bytes), at: clock.now() });
            return port.write(bytes);
          },
        };
      },
      path: 'port',
      clock,
    }),
  );
  expect(written.length).toBeGreaterThan(10);
  for (const [index, { bytes, at }] of written.entries()) {
    expect(bytes).toHaveLength(1);
    expect(at - (written[index - 1]?.at ?? -100)).toBeGreaterThanOrEqual(20);
  }
});

test('no question, under whatever settings it is heard, sounds like zero, tare or calibrate', () => {
  // Letters by which commands of this kind begin (common practice, no source).
  const harmful = /[ztc]/i;
  const formats = [
    { dataBits: 8, parity: 'none', stopBits: 1 },
    { dataBits: 7, parity: 'even', stopBits: 1 },
    { dataBits: 7, parity: 'odd', stopBits: 1 },
    { dataBits: 8, parity: 'even', stopBits: 1 },
    { dataBits: 8, parity: 'odd', stopBits: 1 },
  ] as const satisfies readonly Omit<SerialSettings, 'baud'>[];
  const heardAs: string[] = [];
  for (const sent of ASKED_AT) {
    for (const baud of SPEEDS) {
      for (const format of formats) {
        for (const bytes of [...QUESTIONS, '\r', '\n']) {
          const heard = asHeard(
            Buffer.from(bytes, 'latin1'),
            sent,
            { baud, ...format },
            { framing: 'give', parity: 'give' },
          );
          const text = String.fromCharCode(...heard.map((byte) => byte & 0x7f));
          if (harmful.test(text)) heardAs.push(`${JSON.stringify(bytes)} at ${sent.baud} as ${text} at ${baud}`);
        }
      }
    }
  }
  expect(heardAs).toEqual([]);
});

test('while a scale is listened to it is asked again and again, until that is ended', async () => {
  const clock = createFakeClock();
  const { openPort } = wiredScale({ clock, serial: USUAL_SERIAL, question: 'W\r', line });
  const ear = await openEar({ openPort, path: 'port', serial: USUAL_SERIAL, clock });
  const end = keepAsking(ear, { send: 'W', ending: 'cr', everyMs: 300 }, clock);
  await clock.advance(3000);
  const pieces = ear.since(0);
  expect(pieces.length).toBeGreaterThanOrEqual(9);
  expect(Buffer.from(joined(pieces)).toString('latin1')).toMatch(/^\{ 296\.4 g \}\r\n\{ 296\.5 g \}\r\n/);
  end();
  const { count } = ear;
  await clock.advance(3000);
  expect(ear.count - count).toBeLessThanOrEqual(13); // one answer was on its way
});
