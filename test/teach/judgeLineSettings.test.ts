import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { judgeLineSettings } from '../../src/teach/judgeLineSettings.ts';
import type { SerialSettings } from '../../src/wire/profile.ts';

const EIGHT: SerialSettings = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 };
const SPEECH = 'calm,+    296.4 g\r\nbusy,+    301.7 g\r\ncalm,+      0.2 g\r\n'.repeat(4);

const bytesOf = (text: string, change: (code: number) => number = (code) => code): Uint8Array =>
  Uint8Array.from(text, (each) => change(each.charCodeAt(0)));

function withParity(code: number, isOdd: boolean): number {
  const ones = [...code.toString(2)].filter((bit) => bit === '1').length;
  return (ones % 2 === 1) === isOdd ? code : code | 0x80;
}

describe('what was heard under one setting of the port', () => {
  test('text of a scale scores high, noise and silence low', () => {
    const { next } = seededRandom(5);
    const noise = Uint8Array.from({ length: 400 }, () => Math.floor(next() * 256));
    expect(judgeLineSettings(bytesOf(SPEECH), EIGHT).score).toBeGreaterThan(0.7);
    expect(judgeLineSettings(noise, EIGHT).score).toBeLessThan(0.3);
    expect(judgeLineSettings(new Uint8Array(), EIGHT)).toMatchObject({ score: 0, isEnough: false });
  });

  test('half of all bits swallowed, as at half the speed, is no text', () => {
    const slow = bytesOf(SPEECH, (code) => ((code & 0x0f) << 4) | (code & 0x05));
    expect(judgeLineSettings(slow, EIGHT).score).toBeLessThan(0.5);
  });

  test.each([
    ['even', false],
    ['odd', true],
  ] as const)('a parity bit of %s parity is seen in the eighth bit', (parity, isOdd) => {
    const judged = judgeLineSettings(
      bytesOf(SPEECH, (code) => withParity(code, isOdd)),
      EIGHT,
    );
    expect(judged.eighthBit).toBe(parity);
    expect(judged.better).toEqual({ ...EIGHT, dataBits: 7, parity });
    expect(judged.score).toBeGreaterThan(0.7);
  });

  test('an eighth bit that is always set is a second stop bit', () => {
    const judged = judgeLineSettings(
      bytesOf(SPEECH, (code) => code | 0x80),
      EIGHT,
    );
    expect(judged.better).toEqual({ ...EIGHT, dataBits: 7, stopBits: 2 });
  });

  test('under seven data bits nothing is mended', () => {
    const seven: SerialSettings = { ...EIGHT, dataBits: 7, parity: 'even' };
    expect(judgeLineSettings(bytesOf(SPEECH), seven)).toMatchObject({ eighthBit: 'clear', better: seven });
  });
});
