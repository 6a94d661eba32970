/** What is left when an acceptance is taken back: what stays true, and what goes with it. */
import { expect, test } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { standingFacts } from '../../src/facts/undo.ts';
import { aDraw, aPlan, aStep, g, placing, sealed, weighing } from '../weighing/samplePlan.ts';

const first = aDraw('A1');
const second = aDraw('A2');
const sum = aStep('A/sum', 'sum', { vessel: 'bowl' });
const melt = aStep('A3', 'melt', { vessel: 'bowl', forMs: 1000 });
const begun: Happened[] = [
  { kind: 'batch-started', plan: aPlan([first, second, sum, melt]) },
  placing(first, g(300)),
  weighing(first, g(300), g(100)),
  placing(second, g(400)),
  weighing(second, g(400), g(100)), // fact 5
];
const checked: Happened = {
  kind: 'sum-checked',
  step: 'A/sum',
  vessel: 'bowl',
  scale: 'bench',
  expected: g(500),
  found: g(500),
  allowed: g(0.5),
  suspects: [],
  reason: null,
};
const undo = (corrects: number): Happened => ({ kind: 'undone', corrects, of: 'weighed', id: 'A2', how: 'key' });

test('a zero that was found to have moved meanwhile still doubts the draws before, and can be looked at without ending the moment', () => {
  const state = stateOf(
    sealed([...begun, { kind: 'zero-shifted', scale: 'bench', shift: g(-0.3), draws: ['A1', 'A2'] }, undo(5)]),
  );
  expect(state.draws.A2).toMatchObject({ status: 'open', net: null, base: g(400), doubt: null });
  expect(state.draws.A1?.doubt).not.toBeNull();
  expect(state.undoable).toBeNull();
});

test('a right sum and a begun clock after it go with it, in the state and in the record', () => {
  const facts = sealed([...begun, checked, { kind: 'step-begun', step: 'A3', burst: 1 }, undo(5)]);
  const state = stateOf(facts);
  expect(state.steps).toEqual({});
  expect(standingFacts(facts).map(({ seq }) => seq)).toEqual([1, 2, 3, 4]);
});

test('a sum that was off and kept ends the moment: it was a decision', () => {
  const kept: Happened = { ...checked, found: g(490), reason: 'the formula can bear it' };
  const state = stateOf(sealed([...begun, kept, undo(5)]));
  expect(state.draws.A2?.status).toBe('done');
});

test('only the last one can be taken back, and one named wrongly changes nothing', () => {
  const state = stateOf(sealed([...begun, undo(3)]));
  expect(state.draws).toMatchObject({ A1: { status: 'done' }, A2: { status: 'done' } });
});
