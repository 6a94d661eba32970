import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanText } from '../../src/facts/cleanText.ts';
import { widthOf } from '../../src/facts/textWidth.ts';
import { choiceLines } from '../../src/screen/choiceLines.ts';
import { breakLines, lastThatFit, leftAndRight, padLeft, padRight } from '../../src/screen/lineText.ts';

const foreign = fc.string({ unit: 'grapheme', maxLength: 60 }).map(cleanText);

describe('breakLines', () => {
  it.each([
    ['fits', 'Put it on.', 20, 2, ['Put it on.']],
    ['breaks between words', 'Put the beaker on the scale.', 15, 2, ['Put the beaker', 'on the scale.']],
    ['cuts what is left', 'Put the beaker on the bench scale.', 12, 2, ['Put the', 'beaker on...']],
    ['cuts a word that is too long', 'Hydroxypropyltrimonium chloride', 12, 2, ['Hydroxypr...', 'chloride']],
    ['nothing', '', 12, 2, []],
  ])('%s', (_, text, width, most, lines) => {
    expect(breakLines(text, width, most)).toEqual(lines);
  });

  it('keeps to width and number of lines', () => {
    fc.assert(
      fc.property(foreign, fc.integer({ min: 4, max: 40 }), fc.integer({ min: 1, max: 4 }), (text, width, most) => {
        const lines = breakLines(text, width, most);
        expect(lines.length).toBeLessThanOrEqual(most);
        for (const line of lines) expect(widthOf(line)).toBeLessThanOrEqual(width);
      }),
    );
  });
});

it('two texts fill a line exactly, and the right one is kept', () => {
  expect(leftAndRight('title', 'place', 14)).toBe('title    place');
  expect(leftAndRight('a long title', 'place', 14)).toBe('a lo...  place');
  expect(leftAndRight('a long title', 'a very long place', 10)).toBe(' a very...');
  fc.assert(
    fc.property(foreign, foreign, fc.integer({ min: 4, max: 80 }), (left, right, width) => {
      expect(widthOf(leftAndRight(left, right, width))).toBeLessThanOrEqual(width);
    }),
  );
});

it('padding counts columns, not characters', () => {
  expect(padRight('シア', 6)).toBe('シア  ');
  expect(padLeft('シア', 6)).toBe('  シア');
  expect(padRight('Glycerin', 6)).toBe('Gly...');
});

it('the last pieces are kept in their order', () => {
  expect(lastThatFit(['one', 'two', 'three'], 11, '  ')).toBe('two  three');
  expect(lastThatFit(['one', 'two', 'three'], 4, '  ')).toBe('t...');
});

it('choices flow into lines without being broken', () => {
  const choices = ['a', 'b', 'c'].map((key) => ({ key, label: 'twelve chars' }));
  expect(choiceLines(choices, 40).map((line) => line.map(({ key }) => key))).toEqual([['a', 'b'], ['c']]);
  expect(choiceLines(choices, 10)).toHaveLength(3);
});
