/** A zero that moved under accepted draws: what the batch knows of it, and how it is said. */
import { describe, expect, it, test } from 'vitest';
import { apply, planned } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { causeOfShift, shiftInWords } from '../../src/facts/shiftInWords.ts';
import { aDraw, aPlan, BATCH, dye, g, oil, placing, sealed, weighing } from '../weighing/samplePlan.ts';

const first = aDraw('A1');
const plan = aPlan();
const since = (...happened: readonly Happened[]) => sealed(happened).reduce(apply, planned(BATCH, plan));
const poured = [placing(first, g(300)), weighing(first, g(300), g(100))];
const shifted = (scale: string, grams: number, ...draws: readonly string[]): Happened => {
  return { kind: 'zero-shifted', scale, shift: g(grams), draws };
};

describe('a zero that moved', () => {
  it('makes the draw doubtful, and the weight of the vessel that stood there', () => {
    const state = since(...poured, shifted('bench', -0.3, 'A1'));
    expect(state.draws.A1).toMatchObject({ status: 'done', net: g(100), bowl: g(100), doubt: g(0.3) });
    expect(state.vessels.bowl).toMatchObject({ load: g(400), doubt: g(0.3) });
    expect(state.lastShift).toEqual({ scale: 'bench', shift: g(-0.3), draws: ['A1'], seq: 3 });
  });

  it('a jar from which was taken lost less by it, and not more', () => {
    const state = since(placing(dye, g(80)), weighing(dye, g(80), g(0.8)), shifted('fine', -0.03, 'B1'));
    expect(state.draws.B1).toMatchObject({ net: g(0.8), doubt: g(-0.03) });
  });

  it('the vessel put on again is weighed anew: its doubt is over, the draw keeps its own', () => {
    const state = since(...poured, shifted('bench', -0.3, 'A1'), placing(aDraw('A2.1'), g(400.3)));
    expect(state.vessels.bowl).toMatchObject({ load: g(400.3), doubt: undefined });
    expect(state.draws.A1?.doubt).toBe(g(0.3));
  });

  it('found twice, the larger counts', () => {
    const state = since(...poured, shifted('bench', -0.3, 'A1'), shifted('bench', 0.2, 'A1'));
    expect(state.draws.A1?.doubt).toBe(g(0.3));
    expect(since(...poured, shifted('bench', 0.2, 'A1'), shifted('bench', -0.3, 'A1')).draws.A1?.doubt).toBe(g(0.3));
  });

  it('a draw that is done again is not in doubt', () => {
    const gone: Happened = { kind: 'given-up', vessel: 'bowl', draws: ['A1'], reason: 'spilt' };
    expect(since(...poured, shifted('bench', -0.3, 'A1'), gone).draws.A1?.doubt).toBeNull();
    expect(since(...poured, shifted('bench', -0.3, 'A1'), ...poured).draws.A1?.doubt).toBeNull();
  });

  it('of what was not weighed, or is not in the plan, changes no draw', () => {
    const start = planned(BATCH, plan);
    expect(since(shifted('bench', -0.3, 'A1', 'Z9')).draws).toEqual(start.draws);
  });
});

test.each([
  [
    shifted('bench', -0.3, 'A1'),
    'The empty bench scale shows 0.3 g less than before: Ingredient A1 may be up to 0.3 g off',
  ],
  [
    shifted('fine', 0.02, 'B1', oil.id),
    'The empty fine scale shows 0.02 g more than before: Ingredient B1 and Ingredient C1 may each be up to 0.02 g off',
  ],
])('in words', (fact, words) => {
  expect(fact.kind === 'zero-shifted' && shiftInWords(fact, plan)).toBe(words);
});

test('in words without the plan', () => {
  const words = shiftInWords({ scale: 'old', shift: g(-1), draws: ['X1', 'X2', 'X3'] }, undefined);
  expect(words).toBe('The empty old scale shows 1.000 g less than before: X1, X2 and X3 may each be up to 1.000 g off');
  expect([causeOfShift(-1), causeOfShift(1)]).toEqual([
    'it drifted, or hid slow additions',
    'it drifted, or something lies on its pan',
  ]);
});
