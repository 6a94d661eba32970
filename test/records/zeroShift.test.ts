/** A zero that moved under draws, in all three shapes of the record: at the draws, and as an event. */
import { expect, it, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import type { Mass } from '../../src/mass/mass.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { CSV_COLUMNS, recordCsv } from '../../src/records/record/recordCsv.ts';
import { recordHtml } from '../../src/records/record/recordHtml.tsx';
import { recordData } from '../../src/records/record/recordJson.ts';
import { notesOf } from '../../src/records/record/recordSentences.ts';
import { g, samplePlan, sealed, weighed } from './sampleFacts.ts';

const seal = { seq: 9, hash: '0'.repeat(64) };
const start: Happened = { kind: 'batch-started', plan: samplePlan };
const shifted = (scale: string, shift: Mass, ...draws: string[]): Happened => {
  return { kind: 'zero-shifted', scale, shift, draws };
};
const recordOf = (...happened: readonly Happened[]) => batchRecord(sealed([start, ...happened]), seal);

/** A1 is 55.4 g of 54.6 to 56.7 g, B2 0.75 g of 0.71 to 0.77 g taken out of its jar. */
const record = recordOf(
  weighed('A1', g(55.4)),
  weighed('A2', g(74.5)),
  shifted('bench', g(-0.9), 'A1', 'A2'),
  weighed('B2', g(0.75)),
  shifted('fine', g(0.03), 'B2'),
);
const [shea, second, dye] = record.draws;

it('is at each draw: how far, which way, and whether that would be outside its band', () => {
  expect(record.draws.map(({ doubt }) => doubt)).toEqual([g(0.9), g(0.9), g(0.03)]);
  expect(shea && notesOf(shea, record)).toContain('the zero moved: it may be up to 0.9 g more');
  expect(second && notesOf(second, record)).toContain('the zero moved: it may be up to 0.9 g more');
  expect(dye && notesOf(dye, record)).toContain(
    'the zero moved: it may be up to 0.03 g more, which would be over its band',
  );
});

it('is in the uncertainty of each, on its drift; by hand 2 sqrt(0.0755^2 + 0.9^2 / 3) = 1.0502 g', () => {
  expect((shea?.uncertainty ?? 0) / 1e6).toBeCloseTo(Math.hypot(0.151, (2 * 0.9) / Math.sqrt(3)), 4);
  expect(shea?.budget.drift).toBe(519_616);
  expect(shea && notesOf(shea, record).join()).toContain('less sure than planned: ±1.06 g instead of ±0.16 g');
});

it('is among what went otherwise than planned, and what was weighed is not changed', () => {
  expect(record.deviations).toEqual([
    'The empty bench scale shows 0.9 g less than before: Glyceryl stearate, flakes and Shea butter, refined, chunks may each be up to 0.9 g off: it drifted, or hid slow additions.',
    'The empty fine scale shows 0.03 g more than before: Blue dye powder may be up to 0.03 g off: it drifted, or something lies on its pan.',
  ]);
  expect(shea).toMatchObject({ net: g(55.4), bowl: g(55.4), taken: g(55.4) });
});

test('JSON', () => {
  const data = recordData(record);
  expect(data.draws.map(({ doubt_g }) => doubt_g)).toEqual(['0.900', '0.900', '0.030']);
  expect(data.zero_shifts).toEqual([
    { scale: 'bench', shift_g: '-0.900', draws: ['A1', 'A2'], at: '2026-11-25T10:00:03.000+01:00' },
    { scale: 'fine', shift_g: '0.030', draws: ['B2'], at: '2026-11-25T10:00:05.000+01:00' },
  ]);
});

test('CSV', () => {
  const rows = recordCsv(record).trimEnd().split('\r\n').slice(1);
  const fromEnd = CSV_COLUMNS.indexOf('doubt_g') - CSV_COLUMNS.length;
  const doubts = rows.map((row) => row.split(',').at(fromEnd));
  expect(doubts).toEqual(['0.900', '0.900', '0.030']);
});

test('page', () => {
  const page = recordHtml(record);
  expect(page).toContain('bench: zero moved by -0.9 g under A1 A2, seen 10:00:03.');
  expect(page).toContain('fine: zero moved by +0.03 g under B2, seen 10:00:05.');
  expect(page).toContain('which would be over its band');
});

it('of what was given up afterwards is told, and of nothing that is not there', () => {
  const given = recordOf(
    weighed('A1', g(55.4)),
    shifted('bench', g(-0.9), 'A1'),
    { kind: 'given-up', vessel: 'V1', draws: ['A1'], reason: 'it fell over' },
    shifted('bench', g(-0.9), 'A1', 'Z9'),
  );
  expect(given.draws).toEqual([]);
  expect(given.givenUp).toMatchObject([{ draw: 'A1', doubt: g(0.9) }]);
});

it('that nobody saw the empty pan after a draw is at the draw, with why', () => {
  const left = recordOf(
    weighed('A1', g(55.4)),
    { kind: 'resumed', zeroUnseen: ['A1'] },
    weighed('A2', g(74.5)),
    { ...weighed('B2', g(0.75)), zeroSeen: ['A2'] },
    { kind: 'finished', zeroUnseen: ['B2'] },
  );
  const notes = left.draws.map((draw) => notesOf(draw, left).filter((note) => note.includes('empty pan')));
  expect(notes).toEqual([
    ['the batch was left before the empty pan was seen after it: whether the zero moved meanwhile is not known'],
    [],
    ['the empty pan was not seen after it: whether the zero moved meanwhile is not known'],
  ]);
});
