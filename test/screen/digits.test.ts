import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bigLines } from '../../src/screen/BigDigits.tsx';
import { columnsOf, drawLarge, largestThatFits, rowsOf } from '../../src/screen/digits.ts';
import { GLYPH_HEIGHT, GLYPHS } from '../../src/screen/glyphs.ts';

const INKS = ['block', 'ascii'] as const;
const weight = fc
  .record({ whole: fc.integer({ min: 0, max: 99_999 }), decimals: fc.constantFrom(0, 1, 2, 3), minus: fc.boolean() })
  .map(({ whole, decimals, minus }) => `${minus ? '-' : ''}${(whole / 10 ** decimals).toFixed(decimals)}`);

describe('the glyphs', () => {
  it('are all of one height, and each of one width', () => {
    for (const [character, rows] of GLYPHS) {
      expect(rows, character).toHaveLength(GLYPH_HEIGHT);
      for (const row of rows) expect(row, character).toMatch(new RegExp(`^[.#]{${rows[0]?.length}}$`));
    }
  });

  it('hold all figures in one width, signs, the units and all capitals', () => {
    for (const figure of '0123456789') expect(GLYPHS.get(figure)?.[0], figure).toHaveLength(5);
    for (const character of '.:-+gk ABCDEFGHIJKLMNOPQRSTUVWXYZ') expect(GLYPHS.has(character), character).toBe(true);
  });

  it('differ from each other by three dots or more, figures in particular', () => {
    const figures = [...'0123456789'].map((figure) => (GLYPHS.get(figure) ?? []).join(''));
    for (const [index, one] of figures.entries()) {
      for (const other of figures.slice(index + 1)) {
        expect([...one].filter((dot, at) => dot !== other[at]).length).toBeGreaterThanOrEqual(3);
      }
    }
  });
});

describe('drawing', () => {
  it('draws half rows with half blocks', () => {
    expect(drawLarge('1.0', { wide: 1, high: 1 }, 'block')).toEqual([
      ' ▄█      ▄▀▀▀▄',
      '  █      █   █',
      '  █   ▄▄ █   █',
      ' ▀▀▀  ▀▀  ▀▀▀',
    ]);
  });

  it('needs nothing but ASCII on a bare console', () => {
    expect(drawLarge('-7', { wide: 1, high: 2 }, 'ascii')).toEqual([
      '     #####',
      '         #',
      '         #',
      '####    #',
      '       #',
      '       #',
      '       #',
    ]);
  });

  it('refuses a character that it can not draw, rather than leave it out', () => {
    expect(() => drawLarge('1,5', { wide: 1, high: 1 }, 'block')).toThrow(RangeError);
    expect(largestThatFits('1,5', 80, 7, 'block')).toBeUndefined();
  });

  it('shows different numbers differently', () => {
    fc.assert(
      fc.property(weight, weight, fc.constantFrom(...INKS), (one, other, ink) => {
        const size = { wide: 2, high: 2 };
        const same = drawLarge(one, size, ink).join('\n') === drawLarge(other, size, ink).join('\n');
        expect(same).toBe(one === other);
      }),
    );
  });
});

describe('the size', () => {
  it.each([
    ['853.6', 78, 7, { wide: 2, high: 2 }],
    ['1855.7', 78, 7, { wide: 2, high: 2 }],
    ['-1855.67', 78, 7, { wide: 1, high: 2 }],
    ['18.56', 118, 14, { wide: 4, high: 4 }],
    ['0.05', 40, 4, { wide: 1, high: 1 }],
  ])('%s in %i x %i', (text, columns, rows, size) => {
    expect(largestThatFits(text, columns, rows, 'block')).toEqual(size);
  });

  it('never exceeds its room, and is the largest in it', () => {
    fc.assert(
      fc.property(
        weight,
        fc.integer({ min: 1, max: 250 }),
        fc.integer({ min: 1, max: 60 }),
        fc.constantFrom(...INKS),
        (text, columns, rows, ink) => {
          const size = largestThatFits(text, columns, rows, ink);
          if (!size) {
            // Nothing fits: not even the smallest.
            const least = { wide: 1, high: ink === 'ascii' ? 2 : 1 };
            expect((columnsOf(text, least) ?? 0) > columns || rowsOf(least) > rows).toBe(true);
            return;
          }
          const drawn = drawLarge(text, size, ink);
          expect(drawn.length).toBeLessThanOrEqual(rows);
          for (const row of drawn) expect(row.length).toBeLessThanOrEqual(columns);
          const wider = columnsOf(text, { ...size, wide: size.wide + 1 }) ?? 0;
          expect(wider > columns || size.wide + 1 > Math.min(8, size.high)).toBe(true);
        },
      ),
    );
  });
});

describe('a large number with its unit', () => {
  it('never exceeds its room, whatever is shown', () => {
    fc.assert(
      fc.property(
        fc.oneof(weight, fc.constantFrom('---', 'TAKE OUT', 'READY', '12:34')),
        weight,
        fc.constantFrom('', 'g', 'kg', 'oz'),
        fc.integer({ min: 40, max: 200 }),
        fc.integer({ min: 1, max: 40 }),
        fc.constantFrom(...INKS),
        (text, atLeast, unit, columns, rows, ink) => {
          const lines = bigLines({ text, atLeast, unit, columns, rows, ink });
          expect(lines.length).toBeLessThanOrEqual(rows);
          for (const line of lines) expect(line.length).toBeLessThanOrEqual(columns);
        },
      ),
    );
  });

  it('stays where it is and as large as it is while it falls', () => {
    const at = (text: string) => bigLines({ text, atLeast: '167.0', unit: 'g', columns: 78, rows: 7, ink: 'block' });
    // The last figure and the unit stand in the same columns, whatever stands before.
    const tail = (text: string) => at(text).map((line) => line.padEnd(78).slice(-24));
    expect(tail('9.3')).toEqual(tail('109.3'));
    expect(tail('-0.3')).toEqual(tail('100.3'));
  });

  it('is written in one plain row when there is no room or no glyph for it', () => {
    const room = { atLeast: '', unit: 'g', columns: 40, ink: 'block' } as const;
    expect(bigLines({ ...room, text: '14.4', rows: 1 }).map((line) => line.trim())).toEqual(['14.4 g']);
    expect(bigLines({ ...room, text: '14,4', rows: 9 }).map((line) => line.trim())).toEqual(['14,4 g']);
  });
});
