/** A line that a terminal draws wider than we counted would break, and move every number below it. */
import xterm from '@xterm/headless';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { cutToWidth, widthOf } from '../../src/facts/textWidth.ts';
import { cleanForCells } from '../../src/screen/cleanView.ts';

const letter = fc.oneof(
  fc.string({ unit: 'binary', minLength: 1, maxLength: 1 }),
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 1 }),
  fc.constantFrom(
    '\u093e',
    '\u0915',
    '\u094d',
    'u\u0308',
    '\u0e01\u0e33',
    '\u1112\u1161\u11ab',
    '\ufdfa',
    'é',
    'シ',
    '가',
  ),
  fc.constantFrom(
    '\u{1f44d}\u{1f3fd}',
    ' \u1dcb',
    '\u2460',
    '\u00bd',
    '\u2192',
    '\u2714\ufe0f',
    '\u{1d5e2}',
    '\u05e9\u05c1',
    '\u0645',
  ),
);

it('foreign text takes as many cells on a terminal as we count', async () => {
  const terminal = new xterm.Terminal({ cols: 400, rows: 2, allowProposedApi: true });
  await fc.assert(
    fc.asyncProperty(fc.array(letter, { maxLength: 30 }), fc.nat(60), async (letters, width) => {
      const text = cutToWidth(cleanForCells(letters.join('')), width);
      await new Promise<void>((resolve) => terminal.write(`\r\x1b[K${text}`, resolve));
      expect(terminal.buffer.active.cursorX, JSON.stringify(text)).toBe(widthOf(text));
      expect(widthOf(text)).toBeLessThanOrEqual(width);
    }),
    { numRuns: 500 },
  );
});
