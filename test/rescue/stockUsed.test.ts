import { expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { workshopFrom } from '../plan/fixtures.ts';
import { aDraw, aPlan, dye, firstBag, g, sealed, weighing } from '../weighing/samplePlan.ts';

const flour = workshopFrom(`
name: Small
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 1 l}}
ingredients:
  flour: {name: Flour, inci: Flour, density: 0.5 g/ml, lots: {BAG-1: {on hand: 80 g}}}
`);

const draw = aDraw('A1');
const bag = { ...firstBag, ingredient: 'flour', lot: 'BAG-1' };
const plan = aPlan([draw, bag, dye]);
const usedAfter = (...happened: Happened[]) => stockUsed(sealed([{ kind: 'batch-started', plan }, ...happened]), flour);

test('what was weighed has left its lot, and what was taken back out of the vessel with it', () => {
  const used = usedAfter(weighing(draw, g(300), g(100), { takenBack: g(3) }));
  expect([...used]).toEqual([['ingredient A1 lot A1', g(103)]]);
});

test('what was tapped back into the jar has not', () => {
  const used = usedAfter(weighing(dye, g(80), g(0.8), { takenBack: g(0.05) }));
  expect([...used.values()]).toEqual([g(0.8)]);
});

test('a lot that was found empty has nothing left, whatever the book said', () => {
  const used = usedAfter(weighing(bag, g(300), g(77.5), { lotEnded: true }));
  expect(used.get('flour BAG-1')).toBe(g(80));
});

test('what was thrown away counts once, whether it had been accepted or not', () => {
  const thrown: Happened = { kind: 'discarded', draw: 'A1', lot: 'lot A1', amount: g(100), reason: 'x' };
  expect([...usedAfter(thrown).values()]).toEqual([g(100)]);
  expect([...usedAfter(weighing(draw, g(300), g(100)), thrown).values()]).toEqual([g(100)]);
  const again = weighing(draw, g(300), g(99));
  expect([...usedAfter(weighing(draw, g(300), g(100)), thrown, again).values()]).toEqual([g(199)]);
});

test('what went with a given-up vessel is gone', () => {
  const gone: Happened = { kind: 'given-up', vessel: 'bowl', draws: ['A1'], reason: 'x' };
  const used = usedAfter(weighing(draw, g(300), g(100)), gone, weighing(draw, g(300), g(98)));
  expect([...used.values()]).toEqual([g(198)]);
});

test('an acceptance that was taken back took nothing', () => {
  const undone: Happened = { kind: 'undone', corrects: 2, of: 'weighed', id: 'A1', how: 'key' };
  expect([...usedAfter(weighing(draw, g(300), g(100)), undone)]).toEqual([]);
});
