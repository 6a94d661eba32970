import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanText } from '../../src/facts/cleanText.ts';
import { cutToWidth, widthOf } from '../../src/facts/textWidth.ts';

/** A range of code points as a list. */
const range = (from: number, to: number) =>
  Array.from({ length: to - from + 1 }, (_, index) => String.fromCodePoint(from + index));

describe('cleanText', () => {
  it.each([
    ['plain names stay', 'Shea butter, refined', 'Shea butter, refined'],
    ['accents and other scripts stay', 'Beurre de karité, シア脂', 'Beurre de karité, シア脂'],
    ['fixed-width lines keep their spaces', '  12.5   g ', '  12.5   g '],
    ['colour (SGR)', '\x1b[31mRed\x1b[0m dye', 'Red dye'],
    ['cursor moves', 'a\x1b[2J\x1b[1;1Hb', 'ab'],
    ['colour in its one-byte form', 'a\x9b31mb', 'ab'],
    ['a window title', '\x1b]0;owned\x07Starch', 'Starch'],
    ['a hyperlink', '\x1b]8;;http://x\x1b\\Starch\x1b]8;;\x1b\\', 'Starch'],
    ['a title in its one-byte form', '\x9d0;owned\x9cStarch', 'Starch'],
    ['a device control string', '\x1bP1$qm\x1b\\Starch', 'Starch'],
    ['an unfinished title loses its teeth, not the text', '\x1b]0;Starch', '0;Starch'],
    ['reset', '\x1bcStarch', 'Starch'],
    ['line breaks and tabs are spaces', 'a\r\nb\tc\u2028d', 'a  b c d'],
    ['a sequence put together from the rest of another', '\x1b\x1b[31m[31mx', '[31mx'],
    ['a half of a surrogate pair', 'a\ud800b', 'a\ufffdb'],
    ['decomposed letters are composed', 'karite\u0301', 'karité'],
    ['stacked marks are cut', `o${'\u0332'.repeat(40)}`, `o${'\u0332'.repeat(3)}`],
  ])('%s', (_, given, expected) => {
    expect(cleanText(given)).toBe(expected);
  });

  it('removes every C0 and C1 control, DEL, direction control and zero-width character', () => {
    const breaks = ['\t', '\n', '\v', '\f', '\r', '\x85'];
    const banned = [
      ...range(0x00, 0x1f).filter((each) => !breaks.includes(each)),
      ...range(0x7f, 0x9f).filter((each) => !breaks.includes(each)),
      ...range(0x202a, 0x202e),
      ...range(0x2066, 0x2069),
      ...range(0x200b, 0x200f),
      ...range(0x2060, 0x2064),
      '\u00ad',
      '\u061c',
      '\ufeff',
    ];
    for (const each of banned) expect(cleanText(`é${each}\u4e00`), JSON.stringify(each)).toBe('é\u4e00');
  });

  it('leaves nothing that a terminal obeys, whatever comes in, and is done after one pass', () => {
    const hostile = fc.string({
      unit: fc.oneof(fc.constantFrom(...'\x1b\x9b\x9d\x07\x9c\\[]0;m1'), fc.string({ unit: 'binary', maxLength: 1 })),
    });
    fc.assert(
      fc.property(hostile, (text) => {
        const clean = cleanText(text);
        expect(clean).not.toMatch(/[\x00-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2028\u2029\u2066-\u2069\ufeff]/);
        expect(clean.isWellFormed()).toBe(true);
        expect(cleanText(clean)).toBe(clean);
      }),
      { numRuns: 2000 },
    );
  });
});

describe('cutToWidth', () => {
  it.each([
    ['fits', 'Glycerin', 8, 'Glycerin'],
    ['too long', 'Cetearyl alcohol', 10, 'Ceteary...'],
    ['no blank before the mark', 'Oat protein', 7, 'Oat...'],
    ['no room for the mark', 'Glycerin', 3, 'Gly'],
    ['no room', 'Glycerin', 0, ''],
    ['wide characters count two', 'シア脂シア脂', 9, 'シア脂...'],
    ['a letter and its mark stay together', 'x\u0332y\u0332z\u0332', 2, 'x\u0332y\u0332'],
  ])('%s', (_, text, width, expected) => {
    expect(cutToWidth(text, width)).toBe(expected);
  });

  it('never takes more columns than given', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), fc.nat(30), (text, width) => {
        expect(widthOf(cutToWidth(cleanText(text), width))).toBeLessThanOrEqual(width);
      }),
    );
  });
});
