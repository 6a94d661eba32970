/** Which draws no empty pan has told of, by the facts alone: what a restart has to go by. */
import { expect, it } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { aDraw, aPlan, g, placing, sealed, weighing } from '../weighing/samplePlan.ts';

const one = aDraw('A1');
const two = aDraw('A2');
const begun: readonly Happened[] = [{ kind: 'batch-started', plan: aPlan([one, two]) }, { kind: 'gathered' }];
const after = (...happened: readonly Happened[]) => stateOf(sealed([...begun, ...happened])).unseen;
const first = weighing(one, g(300), g(400));

it('a weight is unseen until a fact says that the empty pan was read after it', () => {
  expect(after(placing(one, g(300)), first)).toEqual(['A1']);
  expect(after(placing(one, g(300)), first, { ...placing(two, g(400)), zeroSeen: ['A1'] })).toEqual([]);
  expect(after(placing(one, g(300)), first, placing(two, g(400)), weighing(two, g(400), g(500)))).toEqual(['A1', 'A2']);
});

it('what a restart has told of is not told again', () => {
  expect(after(first, { kind: 'resumed', zeroUnseen: ['A1'] })).toEqual([]);
  expect(after(first, { kind: 'resumed', zeroUnseen: ['A1'] }, weighing(two, g(400), g(500)))).toEqual(['A2']);
});

it('what is taken back or given up needs no look, and what was seen meanwhile stays seen', () => {
  const taken: Happened = { kind: 'undone', corrects: 4, of: 'weighed', id: 'A2', how: 'key' };
  expect(after(first, { ...weighing(two, g(400), g(500)), zeroSeen: ['A1'] }, taken)).toEqual([]);
  expect(after(first, { kind: 'given-up', vessel: 'bowl', draws: ['A1'], reason: 'spilt' })).toEqual([]);
});
