import { expect, test } from 'vitest';
import { isLabel, judgeLabel, type LabelAsked } from '../../src/stock/jarLabel.ts';
import { aDraw, aPlan } from '../weighing/samplePlan.ts';

const shea = aDraw('A1', { ingredient: 'shea', name: 'Shea butter', lot: 'SH-45B' });
const first = aDraw('A2.1', { ingredient: 'flour', name: 'Oat flour', lot: 'F-1' });
const second = aDraw('A2.2', { ingredient: 'flour', name: 'Oat flour', lot: 'F-2' });
const again = aDraw('B1', { ingredient: 'shea', name: 'Shea butter', lot: 'SH-45B' });
const plan = aPlan([shea, first, second, again], {
  lots: {
    shea: { 'SH-45B': { supplierLot: 'LOT-7A', expires: '2027-02-28' } },
    flour: { 'F-1': { expires: '2026-11-20' }, 'F-2': {}, 'F-3': {} },
  },
});
const asked = (wanted = [shea, first, second, again]): LabelAsked => ({
  plan,
  wanted,
  today: '2026-11-25',
  blockedFor: (_, lot) => (lot === 'F-2' ? 'it has clumps' : null),
});

test('the right jar by its own code, or by the supplier’s as scanned, for every draw that it is wanted for', () => {
  for (const text of ['SH-45B', 'sh-45b', ']C1010950600013435210LOT-7A', '(10)LOT-7A']) {
    expect(judgeLabel(text, asked())).toMatchObject({
      ok: true,
      draws: ['A1', 'B1'],
      ingredient: 'shea',
      lot: 'SH-45B',
    });
  }
  expect(judgeLabel('SH-45B', asked([again]))).toMatchObject({ draws: ['B1'] });
});

test('a wrong jar is refused in a sentence that says what it is and what is wanted', () => {
  expect(judgeLabel('F-3', asked([shea]))).toEqual({
    ok: false,
    say: 'The wrong jar: That is Oat flour, lot F-3. Put it back. Wanted now is Shea butter, lot SH-45B.',
  });
  expect(judgeLabel('(10)X-99', asked()).say).toBe(
    'The wrong jar: Lot X-99 is not in this batch. Put it back. Look at the list for the lots that are wanted.',
  );
});

test('a lot that has expired since, by its label or by the book, and one that was blocked, are refused', () => {
  expect(judgeLabel('F-1', asked()).say).toMatch(/good until 2026-11-20 only/);
  expect(judgeLabel('(10)LOT-7A(17)261031', asked()).say).toMatch(/good until 2026-10-31 only/);
  expect(judgeLabel('F-2', asked()).say).toMatch(/is blocked \(it has clumps\)/);
});

test('labels without a lot, damaged ones, and a moment when no jar is open', () => {
  expect(judgeLabel('(01)09506000134352', asked()).say).toMatch(/no lot on it/);
  expect(judgeLabel('(01)09506000134353', asked()).say).toMatch(/check digit/);
  expect(judgeLabel('SH-45B', asked([])).say).toMatch(/Nothing is to be taken/);
});

test('typed lines are labels only where they look like one, or name a lot of the plan', () => {
  for (const text of ['F-1', 'f-3', 'lot-7a', '(10)anything', ']C110A']) expect(isLabel(text, plan), text).toBe(true);
  for (const text of ['x', '296.4', 'F-9', '']) expect(isLabel(text, plan), text).toBe(false);
});

test('what a label says is cleaned before it is shown or written down', () => {
  const said = judgeLabel('\x1b[31mRED\x1b[0m\u202e', asked()).say;
  expect(said).toBe(
    'The wrong jar: Lot RED is not in this batch. Put it back. Look at the list for the lots that are wanted.',
  );
  expect(judgeLabel('10LOT-7A\x1d17270228', asked())).toMatchObject({ ok: true, label: '10LOT-7A␝17270228' });
});
