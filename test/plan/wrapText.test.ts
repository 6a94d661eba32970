import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { widthOf } from '../../src/facts/textWidth.ts';
import { wrapText } from '../../src/plan/wrapText.ts';

describe('wrapped text', () => {
  it('stands behind its lead, further lines under it', () => {
    expect(wrapText('one two three four', '  - ', 13)).toEqual(['  - one two', '    three', '    four']);
  });

  it('keeps a number and its unit together', () => {
    expect(wrapText('good from 0.480 g at 5 % or 25 bars', '', 13)).toEqual([
      'good from',
      '0.480 g at',
      '5 % or',
      '25 bars',
    ]);
    expect(wrapText('lots 5 grams', '', 8)).toEqual(['lots 5', 'grams']);
  });

  it('has all the words, and no line is too long', () => {
    const words = fc.array(fc.stringMatching(/^[a-z]{1,12}$/), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(words, fc.integer({ min: 20, max: 80 }), (said, width) => {
        const lines = wrapText(said.join(' '), '> ', width);
        for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width);
        expect(lines.map((line) => line.slice(2)).join(' ')).toBe(said.join(' '));
      }),
    );
  });

  it('cuts a word that is longer than a line', () => {
    expect(wrapText('x'.repeat(50), '', 20)).toEqual([`${'x'.repeat(17)}...`]);
  });
});
