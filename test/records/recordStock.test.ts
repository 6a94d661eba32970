import { expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { recordData } from '../../src/records/record/recordJson.ts';
import { recordText } from '../../src/records/record/recordText.ts';
import { sampleBars } from '../facts/sampleBars.ts';
import { aDraw, aPlan, g, sealed, weighing } from '../weighing/samplePlan.ts';

const A = aDraw('A1', { ingredient: 'flour', name: 'Oat flour', lot: 'F-1' });
const B = aDraw('A2', { ingredient: 'shea', name: 'Shea butter', lot: 'SH-45B' });
const plan = aPlan([A, B], {
  bars: 4,
  bar: g(50),
  currency: 'EUR',
  lots: { flour: { 'F-1': { pricePerKg: '2.00' } }, shea: { 'SH-45B': { pricePerKg: '11.50' } } },
});
const short: Happened = { kind: 'lot-short', draw: 'A1', ingredient: 'flour', lot: 'F-1', book: g(90), short: g(10) };
const label: Happened = {
  kind: 'lot-confirmed',
  draws: ['A2'],
  ingredient: 'shea',
  lot: 'SH-45B',
  label: '(10)SH-45B',
};

function recordOf(...happened: Happened[]) {
  const facts = sealed([{ kind: 'batch-started', plan }, ...happened]);
  return batchRecord(facts, { seq: facts.length, hash: 'a'.repeat(64) });
}

test('the record tells what the batch cost, waste apart, as text and as data', () => {
  const weighings = [weighing(A, g(300), g(100), { takenBack: g(5) }), weighing(B, g(400), g(100))];
  const record = recordOf(...weighings, { kind: 'finished' });
  // 105 g at 2.00 and 100 g at 11.50 a kilogram: 0.21 + 1.15; 5 g of flour are 0.01.
  expect(recordText(record)).toContain('Material 1.36 EUR, 0.34 EUR a bar of the 4 planned; 0.01 EUR of it waste');
  expect(recordData(record).cost).toMatchObject({ material: '1.36', per_bar: '0.34', waste: '0.01', currency: 'EUR' });
});

test('a bar costs its share among those really weighed off; nothing is said of a bar before their number is known', () => {
  const weighings = [weighing(A, g(300), g(105)), weighing(B, g(400), g(100))];
  const bars = sampleBars();
  const finished: Happened = { kind: 'finished' };
  const told = (...happened: Happened[]) => {
    const record = recordOf(...weighings, ...happened);
    return [/Material.*/.exec(recordText(record))?.[0], recordData(record).cost?.per_bar];
  };
  expect(told()).toEqual(['Material 1.36 EUR so far', null]);
  expect(told({ kind: 'abandoned', reason: 'power cut' })).toEqual(['Material 1.36 EUR', null]);
  expect(told(finished, ...bars.slice(0, 4))).toEqual(['Material 1.36 EUR so far', null]);
  // Six were weighed off, one was pulled, one short: four in the lot, then three.
  expect(told(finished, ...bars)).toEqual(['Material 1.36 EUR, 0.34 EUR a bar of the 4 weighed off', '0.34']);
  const pulled: Happened = { kind: 'bar-pulled', bar: 5, reason: 'it fell', back: false };
  expect(told(finished, ...bars, pulled)).toEqual(['Material 1.36 EUR, 0.45 EUR a bar of the 3 weighed off', '0.45']);
});

test('a record without prices tells no cost', () => {
  const facts = sealed([{ kind: 'batch-started', plan: aPlan([A, B]) }, weighing(A, g(300), g(100))]);
  const record = batchRecord(facts, { seq: 2, hash: 'a'.repeat(64) });
  expect(recordText(record)).not.toContain('Material');
  expect(recordData(record).cost).toBeNull();
});

test('the record tells which jars were told by their label, and what a lot gave beyond its book', () => {
  const record = recordOf(label, weighing(A, g(300), g(100)), short, weighing(B, g(400), g(100)));
  expect(recordData(record).draws.map(({ draw, label_read }) => [draw, label_read])).toEqual([
    ['A1', false],
    ['A2', true],
  ]);
  expect(recordText(record)).toContain('label of the jar read');
  expect(record.deviations).toContain('Oat flour (A1): lot F-1 gave 10.0 g more than the 90.0 g that the book had.');
});

test('what was taken back was not short either', () => {
  const undone: Happened = { kind: 'undone', corrects: 2, of: 'weighed', id: 'A1', how: 'key' };
  expect(recordOf(weighing(A, g(300), g(100)), short, undone).deviations.join()).not.toContain('more than the');
});
