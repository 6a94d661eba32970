/** Do bytes heard under one setting of a serial port look like the text of a scale? */
import type { SerialSettings } from '../wire/profile.ts';
import type { LineJudgement } from './model.ts';

/** Fewer bytes say nothing: two short lines. */
const FEWEST_BYTES = 12;
/** Only so many of the latest bytes are judged. */
const MOST_BYTES = 4000;

/**
 * Scores what was heard. A wrong speed shows as bytes outside ASCII, control characters and zeros; text of a scale has
 * digits, endings or frames that come again and again, and nothing else unprintable.
 * @param bytes as they came, at any length; join the pieces
 * @param heardUnder the settings of the port meanwhile
 */
export function judgeLineSettings(bytes: Uint8Array, heardUnder: SerialSettings): LineJudgement {
  const heard = bytes.subarray(Math.max(0, bytes.length - MOST_BYTES));
  const eighthBit = heardUnder.dataBits === 7 ? 'clear' : eighthBitOf(heard);
  return {
    score: heard.length === 0 ? 0 : scoreOf(eighthBit === 'mixed' ? heard : heard.map((byte) => byte & 0x7f)),
    isEnough: heard.length >= FEWEST_BYTES,
    eighthBit,
    better: mended(heardUnder, eighthBit),
  };
}

function eighthBitOf(bytes: Uint8Array): LineJudgement['eighthBit'] {
  const count = { set: 0, even: 0, odd: 0 };
  for (const byte of bytes) {
    if (byte >= 0x80) count.set += 1;
    count[onesIn(byte) % 2 === 0 ? 'even' : 'odd'] += 1;
  }
  const nearlyAll = (some: number): boolean => some >= bytes.length * 0.98;
  if (nearlyAll(bytes.length - count.set)) return 'clear';
  if (nearlyAll(count.set)) return 'set';
  if (nearlyAll(count.even)) return 'even';
  return nearlyAll(count.odd) ? 'odd' : 'mixed';
}

function onesIn(byte: number): number {
  let ones = 0;
  for (let bits = byte; bits > 0; bits >>= 1) ones += bits & 1;
  return ones;
}

function mended(settings: SerialSettings, eighthBit: LineJudgement['eighthBit']): SerialSettings {
  switch (eighthBit) {
    case 'even':
    case 'odd':
      return { ...settings, dataBits: 7, parity: eighthBit };
    case 'set':
      return { ...settings, dataBits: 7, parity: 'none', stopBits: 2 };
    default:
      return settings;
  }
}

/** Bytes that belong in text or around it: printable ASCII, CR, LF, tab, and the frame bytes SOH, STX, ETX, EOT. */
function isText(byte: number): boolean {
  return (byte >= 0x20 && byte <= 0x7e) || byte === 13 || byte === 10 || byte === 9 || (byte >= 1 && byte <= 4);
}

function scoreOf(bytes: Uint8Array): number {
  let text = 0;
  let digits = 0;
  let letters = 0;
  for (const byte of bytes) {
    if (isText(byte)) text += 1;
    if (byte >= 0x30 && byte <= 0x39) digits += 1;
    if (/[A-Za-z .,+\-\r\n]/.test(String.fromCharCode(byte))) letters += 1;
  }
  const share = text / bytes.length;
  // One raw check byte in a short frame is no text, and no sign of a wrong speed.
  const clean = Math.max(0, (share - 0.7) / 0.3);
  const numbers = Math.min(1, (digits / bytes.length) * 6);
  const plain = Math.min(1, ((digits + letters) / bytes.length) * 1.3);
  const score = clean * numbers * (0.5 + 0.5 * plain) * (0.6 + 0.4 * repeats(bytes));
  return Math.round(score * 1000) / 1000;
}

/** How well what comes comes again: the best share of bytes that are of the same class one period later, 0 to 1. */
function repeats(bytes: Uint8Array): number {
  let best = 0;
  for (let period = 4; period <= 120 && period * 2 <= bytes.length; period++) {
    let same = 0;
    for (let place = period; place < bytes.length; place++) {
      if (classOf(bytes[place] ?? 0) === classOf(bytes[place - period] ?? 0)) same += 1;
    }
    best = Math.max(best, same / (bytes.length - period));
  }
  return best;
}

function classOf(byte: number): number {
  return byte >= 0x30 && byte <= 0x39 ? 0x30 : byte;
}
