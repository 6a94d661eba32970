/** How a made-up scale packs a line for the wire: endings, start and end bytes, check bytes, frames without an end. */
import type { Dice } from './words.ts';

export interface Packing {
  readonly says: string;
  /** Of a whole frame, where frames have no end; set by the format, which knows its texts. */
  length: number | undefined;
  /** Whether nothing but ASCII is sent. */
  readonly isAscii: boolean;
  /** The bytes of a line. @param mask 0x7f on a line with seven data bits */
  pack(text: string, mask: number): string;
  /** Whether a raw check byte looks like one of the frame's own bytes, which damages the frame for every reader. */
  collides(text: string, mask: number): boolean;
}

export function somePacking(dice: Dice): Packing {
  const kind = dice.next();
  if (kind < 0.65) {
    const end = dice.pick(['\r\n', '\r\n', '\n', '\r']);
    return { says: JSON.stringify(end), length: undefined, isAscii: true, pack: (text) => text + end, collides: never };
  }
  if (kind < 0.75) return { says: 'no end', length: 0, isAscii: true, pack: (text) => text, collides: never };
  const start = dice.pick(['\x02', '\x02', '\x01']);
  const end = dice.pick(['\x03', '\x03', '\r', '\r\n', '\x04']);
  if (kind < 0.82)
    return {
      says: JSON.stringify(start + end),
      length: undefined,
      isAscii: true,
      pack: (text) => start + text + end,
      collides: never,
    };
  const isLineOnly = kind < 0.87;
  const isHex = isLineOnly || dice.chance(0.5);
  const isSum = dice.chance(0.5);
  const isAfter = !isLineOnly && dice.chance(0.5);
  const covers = dice.pick(['text', 'text and end', 'start and text', 'all']);
  const [before, behind] = isLineOnly ? ['', dice.pick(['\r\n', '\n', '\r'])] : [start, end];
  const proofOf = (text: string, mask: number): string => {
    const covered = (/start|all/.test(covers) ? before : '') + text + (/end|all/.test(covers) ? behind : '');
    let value = 0;
    for (const each of covered) value = isSum ? value + each.charCodeAt(0) : value ^ each.charCodeAt(0);
    return isHex ? (value & 0xff).toString(16).toUpperCase().padStart(2, '0') : String.fromCharCode(value & mask);
  };
  return {
    says: `${JSON.stringify(before + behind)}, ${isSum ? 'sum' : 'xor'}${isHex ? ' in hex' : ''} over ${covers}, ${isAfter ? 'after' : 'before'} the end`,
    length: undefined,
    isAscii: true,
    pack: (text, mask) => {
      const proof = proofOf(text, mask);
      return before + text + (isAfter ? behind + proof : proof + behind);
    },
    collides: (text, mask) => !isHex && `${before}${behind}\r\n`.includes(proofOf(text, mask)),
  };
}

const never = (): boolean => false;
