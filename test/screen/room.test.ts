import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rowsOfBench } from '../../src/screen/Bench.tsx';
import { gatherPage, gatherRows, pageCount } from '../../src/screen/gatherPages.ts';
import { LEAST_ROWS, shareRows, type Wishes } from '../../src/screen/room.ts';
import type { GatherLine } from '../../src/screen/view.ts';
import { SCENES } from './scenes.ts';

const wishes: fc.Arbitrary<Wishes> = fc.record({
  say: fc.integer({ min: 1, max: 2 }),
  firstDetail: fc.nat(2),
  detail: fc.nat(3),
  ask: fc.nat(2),
  choices: fc.nat(6),
  elsewhere: fc.nat(2),
  firstCaution: fc.nat(2),
  cautions: fc.nat(8),
  lane: fc.constantFrom(0, 4, 5),
  list: fc.constantFrom(0, 12, 60),
  roomyList: fc.constantFrom(0, 12, 60),
  done: fc.nat(4),
  next: fc.nat(4),
  foot: fc.nat(1),
});

describe('the rows', () => {
  it('are never more than there are, and what matters is always there', () => {
    fc.assert(
      fc.property(wishes, fc.integer({ min: LEAST_ROWS - 1, max: 70 }), (wished, rows) => {
        const given = shareRows(wished, rows);
        const used = Object.values(given).reduce((sum, each) => sum + each, 1);
        expect(used).toBeLessThanOrEqual(rows);
        for (const each of Object.values(given)) expect(each).toBeGreaterThanOrEqual(0);
        expect(given.say).toBeGreaterThanOrEqual(1);
        expect(given.body).toBeGreaterThanOrEqual(5);
        expect(given.ask).toBe(wished.ask);
        expect(given.choices).toBe(wished.choices);
        expect(given.elsewhere).toBe(wished.elsewhere);
        expect(given.cautions).toBeGreaterThanOrEqual(wished.firstCaution);
      }),
    );
  });

  it.each([24, 40])('put the headline and the number in the same place in every mood, in %i rows', (rows) => {
    const places = Object.entries(SCENES)
      .filter(([, { view }]) => !view.list)
      .map(([, { view, live }]) => {
        const { done, gapSay, say, detail, gapBody, body } = rowsOfBench(view, live.lane !== undefined, 78, rows);
        return { headline: 1 + done + gapSay, number: 1 + done + gapSay + say + detail + gapBody, body };
      });
    expect(new Set(places.map(({ headline }) => headline)).size).toBe(1);
    expect(new Set(places.map(({ body }) => body)).size).toBe(1);
    // A crowded hold may move the number up by a row.
    const numbers = places.map(({ number }) => number);
    expect(Math.max(...numbers) - Math.min(...numbers)).toBeLessThanOrEqual(1);
  });
});

describe('the gathering list', () => {
  const list = SCENES.gather?.view.list ?? [];
  const names = (lines: readonly GatherLine[]) => lines.flatMap((line) => ('name' in line ? [line.name] : []));

  it('fits one page at 80 x 24 with the whole demo formula', () => {
    const view = SCENES.gather?.view;
    if (!view) throw new Error('no gathering scene');
    const { body } = rowsOfBench(view, false, 78, 24);
    expect(pageCount(list, 78, body)).toBe(1);
    expect(gatherPage(list, 78, body, 0)).toHaveLength(body);
  });

  it('shows every line on exactly one page, whatever the room', () => {
    const numbered = Array.from({ length: 45 }, (_, index) => ({ name: `item ${index};`, note: 'L', amount: '1 g' }));
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 45 }),
        fc.integer({ min: 40, max: 160 }),
        fc.integer({ min: 2, max: 40 }),
        (length, columns, rows) => {
          const some = numbered.slice(0, length);
          const pages = Array.from({ length: pageCount(some, columns, rows) }, (_, page) =>
            gatherPage(some, columns, rows, page),
          );
          for (const page of pages) {
            expect(page.length).toBeLessThanOrEqual(rows);
            for (const line of page) expect(line.length).toBeLessThanOrEqual(columns);
          }
          const text = pages.flat().join('\n');
          for (const name of names(some)) expect(text.split(name)).toHaveLength(2);
        },
      ),
    );
  });

  it('says how many pages there are, and stays on the last', () => {
    expect(pageCount(list, 78, 8)).toBe(3);
    expect(gatherPage(list, 78, 8, 0).at(-1)).toMatch(/^ Page 1 of 3\. Left and right arrow/);
    expect(gatherPage(list, 78, 8, 99)).toEqual(gatherPage(list, 78, 8, 2));
    expect(gatherRows([], 78)).toBe(0);
  });

  it('keeps name, lot and amount in columns', () => {
    expect(gatherPage(list.slice(6, 9), 40, 10, 0)).toEqual([
      'A MELT',
      'Cetearyl alcohol, flakes  CA-2207 92.8 g',
      'Glyceryl stearate, flakes GS-118  55.7 g',
    ]);
  });
});
