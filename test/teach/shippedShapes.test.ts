/** Scales that speak the wire profiles which ship are learnt, too: shapes that were not made for teaching. */
import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { wrap } from '../../src/wire/framing.ts';
import { LINE_JOINT } from '../../src/wire/grouper.ts';
import { unitsOf } from '../../src/wire/profile.ts';
import { speak } from '../../src/wire/speak.ts';
import { EVERY_PROFILE, shippedProfile } from '../wire/profiles.ts';
import type { Format, Shown } from './formats.ts';
import { teachFormat } from './teaching.ts';
import { diceOf, type SentUnit } from './words.ts';

const ASKS: Readonly<Record<string, 'cr' | 'lf' | 'crlf'>> = { '\r': 'cr', '\n': 'lf', '\r\n': 'crlf' };

/** A scale of up to 3 kg by 0.1 g that speaks a profile; the word on rest is whatever the profile has. */
function formatOf(id: string): Format {
  const profile = shippedProfile(id);
  const [unit = 'g'] = unitsOf(profile).filter((each) => each === 'g');
  const hasRest = profile.noStatus !== undefined || profile.blankUnit?.moving === true || profile.status.size > 3;
  const hasCheck = profile.framing.check !== undefined;
  const lines = ({ mode, gross, tare, isStable }: Shown): readonly string[] | undefined => {
    if (mode === 'pieces' || mode === 'other-unit') return undefined;
    const condition = mode === 'over' ? 'over-range' : mode === 'under' ? 'under-range' : undefined;
    const spoken = speak(profile, {
      number: { digits: BigInt(gross - tare), scale: 1 },
      unit,
      stable: isStable,
      condition,
    });
    if (spoken === undefined) return undefined;
    return profile.linesPerReading > 1 ? spoken.split(LINE_JOINT) : [spoken];
  };
  return {
    says: id,
    serial: profile.serial,
    packing: {
      says: '',
      length: profile.framing.length,
      isAscii: true,
      pack: (text) => wrap(profile.framing, text, profile.serial.dataBits),
      // The one check among them is the last byte of a frame.
      collides: (text) => hasCheck && /[\x02\x03\r\n]$/.test(wrap(profile.framing, text, profile.serial.dataBits)),
    },
    rhythm: profile.rhythm,
    linesPerSecond: Math.min(10, profile.linesPerSecond),
    ask: profile.ask && {
      send: profile.ask.bytes.trim(),
      ending: ASKS[profile.ask.bytes.replace(/^.*[^\r\n]/, '')] ?? 'cr',
    },
    unit: unit as SentUnit,
    decimals: 1,
    d: 1,
    capacity: 30_000,
    otherUnit: undefined,
    canShowPieces: false,
    rest: hasRest ? 'flag' : 'none',
    sendsMoving: true,
    lines,
  };
}

describe('a scale that speaks a shipped profile', () => {
  for (const id of EVERY_PROFILE) {
    test(`${id} is learnt`, () => {
      const seen = [11, 12, 13].map((seed) => teachFormat(formatOf(id), diceOf(seededRandom(seed))));
      for (const { verdict, because } of seen) expect(verdict, because).toBe('right');
    });
  }
});
