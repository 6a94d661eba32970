/**
 * Lines that no scale should send, through every wire profile; and a judge of what came of them that knows the
 * profile's file only, not the decoder.
 */
import { readFileSync } from 'node:fs';
import { Decimal } from 'decimal.js';
import { parse } from 'yaml';
import type { Random } from '../../src/simulate/seededRandom.ts';
import { decode, decodeLine } from '../../src/wire/decode.ts';
import { wrap } from '../../src/wire/framing.ts';
import { LINE_JOINT } from '../../src/wire/grouper.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { Decoded } from '../../src/wire/reading.ts';
import { createReceiver } from '../../src/wire/receiver.ts';
import { EVERY_PROFILE, shippedProfile } from './profiles.ts';

interface Grammar {
  readonly pattern: string;
  readonly decimal?: 'comma';
  readonly status?: Readonly<Record<string, string>>;
  readonly units?: Readonly<Record<string, string>>;
  readonly 'no status'?: string;
  readonly 'no unit'?: { readonly unit: string; readonly means?: string };
  readonly examples: readonly { readonly line: string }[];
}

export interface Fuzzed {
  readonly id: string;
  readonly profile: Profile;
  readonly grammar: Grammar;
  readonly whole: RegExp;
}

export const FUZZED: readonly Fuzzed[] = EVERY_PROFILE.map((id) => {
  const grammar = parse(readFileSync(new URL(`../../devices/${id}.yaml`, import.meta.url), 'utf8')) as Grammar;
  return { id, profile: shippedProfile(id), grammar, whole: new RegExp(`^(?:${grammar.pattern})$`, 'u') };
});

/** Grams in a unit. NIST Handbook 44, appendix C. */
const GRAMS: Readonly<Record<string, Decimal>> = {
  kg: new Decimal(1000),
  g: new Decimal(1),
  mg: new Decimal('0.001'),
  lb: new Decimal('453.59237'),
  oz: new Decimal('453.59237').div(16),
  gr: new Decimal('453.59237').div(7000),
};

/** @returns what is wrong with taking the line so; undefined when the profile's grammar allows it */
export function objection({ grammar, whole }: Fuzzed, line: string, said: Decoded): string | undefined {
  if (said.kind === 'refused') return undefined;
  const raw = said.kind === 'reading' ? said.reading.raw : said.raw;
  if (/[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u202a-\u202e\u2060-\u2069]/.test(raw))
    return 'its text can move the screen';
  const groups = whole.exec(line)?.groups;
  if (!groups || line.length > 200) return 'it does not fit the pattern';
  const word = groups.status?.trim() ?? '';
  const means = word === '' ? grammar['no status'] : grammar.status?.[word];
  if (word !== '' && means === undefined) return `the status word ${word} is none`;
  if (said.kind === 'condition') return means === said.condition ? undefined : 'it shows no such condition';
  const isRest = means === undefined || means === 'stable' || means === 'moving';
  if (!isRest && means !== 'low-supply') return 'its status says that it shows no weight';
  const unitWord = groups.unit?.trim() ?? '';
  const unit = unitWord === '' ? grammar['no unit']?.unit : grammar.units?.[unitWord];
  if (unit === undefined || unit !== said.reading.unit) return 'it has another unit';
  const mark = grammar.decimal === 'comma' ? ',' : '.';
  const digits = (groups.number ?? '').trim().replace(mark, '.');
  const number = `${groups.sign?.trim() ?? ''}${digits}`;
  if (!/^[+-]?\d+(\.\d+)?$/.test(number)) return `${number} is no number`;
  const exact = new Decimal(number).times(GRAMS[unit] ?? Number.NaN).times(1e6);
  if (exact.minus(said.reading.mass).abs().gt('0.5')) return 'it has another mass';
  const moves = means === 'moving' || (unitWord === '' && grammar['no unit']?.means === 'moving');
  if (moves && said.reading.stable !== false) return 'it moves and is taken as settled';
  if (means === undefined && grammar['no unit']?.means === undefined && said.reading.stable !== undefined)
    return 'it never says whether it is settled';
  return undefined;
}

/** What bad input is made of: what the decoder must not take for a weight, and what terminals do things at. */
const PIECES = [
  '1e309',
  '--1',
  '1.2.3',
  '+-1',
  '1,2',
  '1.',
  '.5',
  '0x1f',
  'Infinity',
  'NaN',
  '١٢٣',
  '９',
  '−1',
  '1_000',
  '1 000',
  '\ud800',
  '\udfff',
  '\u001b[31m',
  '\u001b]0;x\u0007',
  '\u009b2J',
  '\u202e',
  '\u0000',
  '\u00ff',
  '\u200b',
  '\ufeff',
  '9'.repeat(40),
  ' '.repeat(60),
  '-',
  '+',
  '.',
  ',',
  ';',
  ' ',
  'g',
  'kg',
  'oz',
  'G',
  '__proto__',
  'constructor',
  'toString',
] as const;

/** One line: an example of some profile with one to four changes, or nonsense. */
export function fuzzLine(random: Random): string {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random.next() * list.length)] as T;
  if (random.next() < 0.1) {
    return Array.from({ length: 1 + Math.floor(random.next() * 12) }, () =>
      random.next() < 0.5 ? pick(PIECES) : String.fromCharCode(Math.floor(random.next() * 256)),
    ).join('');
  }
  let line = pick(pick(FUZZED).grammar.examples).line;
  for (let change = Math.floor(random.next() * 4); change >= 0; change--) {
    const at = Math.floor(random.next() * (line.length + 1));
    const other = pick(pick(FUZZED).grammar.examples).line;
    switch (Math.floor(random.next() * 7)) {
      case 0: // a character lost
        line = line.slice(0, at) + line.slice(at + 1);
        break;
      case 1: // a character changed
        line = line.slice(0, at) + String.fromCharCode(Math.floor(random.next() * 256)) + line.slice(at + 1);
        break;
      case 2: // a bit turned over
        line =
          line.slice(0, at) +
          String.fromCharCode(line.charCodeAt(at) ^ (1 << Math.floor(random.next() * 8))) +
          line.slice(at + 1);
        break;
      case 3: // something put in
        line = line.slice(0, at) + pick(PIECES) + line.slice(at);
        break;
      case 4: // half of one and half of another
        line = line.slice(0, at) + other.slice(Math.floor(random.next() * other.length));
        break;
      case 5: // a part twice
        line = line.slice(0, at) + line.slice(Math.floor(at / 2));
        break;
      default: // another digit
        line = line.replace(/\d/, String(Math.floor(random.next() * 10)));
    }
  }
  return line;
}

export interface FuzzResult {
  /** Lines that each profile has seen. */
  readonly lines: number;
  readonly readings: number;
  /** At most ten. */
  readonly objections: readonly string[];
}

/** Sends so many fuzzed lines through each profile. An exception ends it. */
export function fuzzLines(count: number, random: Random): FuzzResult {
  let readings = 0;
  const objections: string[] = [];
  for (let sent = 0; sent < count; sent++) {
    const line = fuzzLine(random);
    for (const each of FUZZED) {
      const said = decode(each.profile, line, sent);
      if (said.kind === 'reading') readings += 1;
      const wrong = objection(each, line, said);
      if (wrong !== undefined && objections.length < 10)
        objections.push(`${each.id}: ${JSON.stringify(line)}: ${wrong}`);
    }
  }
  return { lines: count, readings, objections };
}

/** The same as bytes in pieces, framed by the profile's rules or nearly so, through receiver and decoder. */
export function fuzzBytes(count: number, random: Random): FuzzResult {
  let readings = 0;
  const objections: string[] = [];
  for (const each of FUZZED) {
    const receiver = createReceiver(
      each.profile,
      (line) => {
        const said = decodeLine(each.profile, line);
        if (said.kind === 'reading') readings += 1;
        const wrong =
          line.fault !== undefined && said.kind !== 'refused' ? line.fault : objection(each, line.text, said);
        if (wrong !== undefined && objections.length < 10)
          objections.push(`${each.id}: ${JSON.stringify(line.text)}: ${wrong}`);
      },
      () => {},
    );
    let waiting = '';
    for (let sent = 0; sent < count; sent++) {
      const line = random.next() < 0.3 ? (each.grammar.examples[0]?.line ?? '') : fuzzLine(random);
      const { framing, serial, linesPerReading } = each.profile;
      const parts = linesPerReading > 1 ? line.split(LINE_JOINT) : [line];
      waiting += parts.map((part) => wrap(framing, part, serial.dataBits)).join('');
      if (random.next() < 0.05) waiting = waiting.slice(1);
      const cut = Math.floor(random.next() * (waiting.length + 1));
      receiver.write(Buffer.from(waiting.slice(0, cut), 'latin1'), sent * 100);
      waiting = waiting.slice(cut);
    }
  }
  return { lines: count, readings, objections };
}
