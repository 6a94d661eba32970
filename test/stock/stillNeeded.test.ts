/** What open batches still need: each gram once, in the book or here, while a batch goes on. */
import { expect, it } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { mass, plus, ZERO } from '../../src/mass/mass.ts';
import { movesOf } from '../../src/stock/moves.ts';
import { neededNotes, stillNeeded } from '../../src/stock/stillNeeded.ts';
import { aDraw, aPlan, firstBag, g, oil, placing, sealed, secondBag, weighing } from '../weighing/samplePlan.ts';

const plan = aPlan([
  aDraw('A1'),
  aDraw('A3', { ingredient: aDraw('A1').ingredient, lot: 'lot A1' }),
  firstBag,
  secondBag,
  oil,
]);
const started: Happened = { kind: 'batch-started', plan };
const [A1, A3] = plan.tasks as [ReturnType<typeof aDraw>, ReturnType<typeof aDraw>];

const after = (...more: readonly Happened[]) => {
  const facts = sealed([started, ...more]);
  const needed = stillNeeded(stateOf(facts));
  const used = movesOf(facts);
  const of = (lot: string) => ({
    needed: needed.find((each) => each.lot === lot)?.amount ?? 0,
    used: used.filter((each) => each.lot === lot).reduce((sum, each) => plus(sum, each.used), ZERO),
  });
  return { of, needed };
};

it('adds up all draws of a lot; what is accepted leaves it for the book, and nothing is in both', () => {
  const lot = A1.lot;
  expect(after().of(lot)).toEqual({ needed: g(200), used: 0 });
  expect(after(placing(A1, g(300))).of(lot)).toEqual({ needed: g(200), used: 0 });
  expect(after(placing(A1, g(300)), weighing(A1, g(300), g(101))).of(lot)).toEqual({ needed: g(100), used: g(101) });
  expect(after(weighing(A1, g(300), g(101)), weighing(A3, g(400), g(99))).of(lot)).toEqual({ needed: 0, used: g(200) });
});

it('a later part needs what the earlier ones left to it', () => {
  const whole = plus(firstBag.target, secondBag.target);
  const parts = (found: ReturnType<typeof after>) => [firstBag, secondBag].map(({ lot }) => found.of(lot).needed);
  expect(parts(after()).reduce((sum, each) => sum + each, 0)).toBe(whole);
  const less = mass(firstBag.target - 7_000_000);
  expect(parts(after(weighing(firstBag, g(300), less, { lotEnded: true })))).toEqual([0, whole - less]);
});

it('what is in the cup has left its lot; what is thrown away is needed again; an ended batch needs nothing', () => {
  expect(after(weighing(oil, g(30), g(5))).of(oil.lot)).toEqual({ needed: 0, used: g(5) });
  const thrown: Happened = { kind: 'discarded', draw: oil.id, lot: oil.lot, amount: g(5), reason: 'spilt' };
  expect(after(weighing(oil, g(30), g(5)), thrown).of(oil.lot)).toEqual({ needed: oil.target, used: g(5) });
  expect(after({ kind: 'abandoned', reason: 'late' }).needed).toEqual([]);
});

it('who plans another batch reads what is short first, then where there is enough', () => {
  const { needed } = after();
  const onHand = (_: string, lot: string) => (lot === A1.lot ? g(350) : g(5000));
  const notes = neededNotes(
    aPlan([aDraw('A1'), aDraw('A3', { ingredient: aDraw('A1').ingredient, lot: 'lot A1' }), oil]),
    needed,
    onHand,
  );
  expect(notes[0]).toBe(
    `Batch 2026-11-25-1, still open, still needs 200.0 g of Ingredient A3, lot lot A1: for this one as well it is 50.0 g short.`,
  );
  expect(notes[1]).toMatch(
    /^Open batches still need out of the same jars, and there is enough: .* 5.0 g \(lot C1\)\.$/,
  );
  expect(neededNotes(aPlan([aDraw('Z9')]), needed, onHand)).toEqual([]);
});
