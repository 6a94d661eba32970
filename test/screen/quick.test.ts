/** What the build puts in the place of two of Ink's libraries answers as they do, whatever the text holds. */
import {
  styledCharsFromTokens as styledByLibrary,
  styledCharsToString as textByLibrary,
  tokenize as tokenizeByLibrary,
} from '@alcalzone/ansi-tokenize';
import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { styledCharsFromTokens, styledCharsToString, tokenize } from '../../src/screen/quick/tokens.ts';
import quickWidth, { isPlainCell } from '../../src/screen/quick/width.ts';

const style = fc.constantFrom(
  '\x1b[1m',
  '\x1b[22m',
  '\x1b[2;7m',
  '\x1b[38;2;1;2;3m',
  '\x1b[38;5;9m',
  '\x1b[39m',
  '\x1b[0m',
  '\x1b[m',
);
const cell = fc.constantFrom(...'\u2588\u2580\u2584\u2503\u2500\u2550\u2534\u259f 09.-ag+|>#~');
/** What joins, is wide, takes no room, is no style, or ends too early. */
const other = fc.constantFrom(
  '\u0301',
  '\u00e9',
  '\u6c34',
  '\u{1f9fc}',
  '\u200d',
  '\ufe0f',
  '\u25fe',
  '\t',
  '\r',
  '\x1b[2K',
  '\x1b[1',
  '\x1b',
  '\x9b1m',
  '\x1b]8;;a\x07',
);
const drawn = fc.array(fc.oneof({ weight: 8, arbitrary: cell }, { weight: 2, arbitrary: style }, fc.constant('\n')), {
  maxLength: 40,
});
const any = fc.array(fc.oneof(cell, style, other, fc.constant('\n'), fc.string({ unit: 'grapheme', maxLength: 3 })), {
  maxLength: 20,
});
const text = fc.oneof(drawn, any).map((parts) => parts.join(''));

describe('in the place of two libraries', () => {
  it('texts have the same width, the first time and after', () => {
    fc.assert(
      fc.property(text, (each) => {
        expect(quickWidth(each)).toBe(stringWidth(each));
        expect(quickWidth(each)).toBe(stringWidth(each));
        expect(quickWidth(each, { ambiguousIsNarrow: false })).toBe(stringWidth(each, { ambiguousIsNarrow: false }));
      }),
    );
  });

  it('lines are cut into the same cells, the first time and after', () => {
    fc.assert(
      fc.property(text, (each) => {
        const due = tokenizeByLibrary(each);
        for (const tokens of [tokenize(each), tokenize(each)]) {
          expect(tokens).toEqual(due);
          expect(styledCharsFromTokens(tokens)).toEqual(styledByLibrary(due));
          expect(styledCharsToString(styledCharsFromTokens(tokens))).toBe(textByLibrary(styledByLibrary(due)));
        }
        expect(tokenize(each, 3)).toEqual(tokenizeByLibrary(each, 3));
      }),
    );
  });

  it('what is taken for one plain cell is one by itself, and beside any other', () => {
    for (let code = 0; code < 0x3000; code++) {
      if (!isPlainCell(code)) continue;
      const character = String.fromCharCode(code);
      expect(stringWidth(character)).toBe(1);
      expect([...new Intl.Segmenter().segment(`${character}${character}a`)]).toHaveLength(3);
      expect(tokenizeByLibrary(character)).toEqual([{ type: 'char', value: character, fullWidth: false }]);
    }
  });
});
