/** Text drawn by stand-ins comes out as it went in, whatever it holds. */
import './withColour.ts';
import fc from 'fast-check';
import { renderToString } from 'ink';
import { describe, expect, it } from 'vitest';
import { Cells } from '../../src/screen/Cells.tsx';

const BLOCKS = '\u2588\u2580\u2584\u2503\u2500\u2550\u2534';
const plain = (drawn: string) => drawn.replace(/\x1b\[[\d;]*m/g, '');
const character = fc.constantFrom(...BLOCKS, ...'09.-ag+|>');
const line = fc.string({ unit: character, minLength: 1, maxLength: 30 });
const hue = fc.constantFrom(undefined, '#12ab9f', 'green');

describe('block elements by stand-ins', () => {
  it('come out as they went in, in any colour and over several lines', () => {
    fc.assert(
      fc.property(fc.array(line, { minLength: 1, maxLength: 5 }), hue, fc.boolean(), (lines, colour, bold) => {
        const text = lines.join('\n');
        expect(plain(renderToString(<Cells text={text} hue={colour} bold={bold} />))).toBe(text);
      }),
    );
  });

  it('leave what follows them as it is, and uncoloured', () => {
    fc.assert(
      fc.property(line, line, hue, (text, rest, colour) => {
        const drawn = renderToString(<Cells text={text} rest={rest} hue={colour} />);
        expect(plain(drawn)).toBe(text + rest);
        if (colour !== undefined) expect(drawn.endsWith(`\x1b[39m${rest}`)).toBe(true);
      }),
    );
  });

  it('are not mistaken for the characters that stand for them', () => {
    for (const own of ['#', '"', '_', '!', '~', '=', '^']) {
      const text = `PUT ${own} \u2588`;
      expect(plain(renderToString(<Cells text={text} />))).toBe(text);
    }
  });
});
