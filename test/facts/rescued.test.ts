import { expect, test } from 'vitest';
import { apply, planned } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { checkFact } from '../../src/facts/readFact.ts';
import { nextTask, wanted } from '../../src/facts/wanted.ts';
import type { Task } from '../../src/plan/model.ts';
import { aDraw, aPlan, aStep, BATCH, g, placing, sealed, weighing } from '../weighing/samplePlan.ts';

// 100 g of each were wanted; the second came to 110 g, so all grows by a tenth.
const first = aDraw('A1');
const second = aDraw('A2');
const third = aDraw('A3');
const stir = aStep('A/1', 'mix');
const whole = { group: 'A1', of: 2, target: g(110), low: g(108), high: g(112) };
const topUp = aDraw('A1.2', { target: g(10), low: g(8), high: g(12), part: { ...whole, index: 2 } });
const grown: readonly Task[] = [
  aDraw('A1', { part: { ...whole, index: 1 } }),
  stir,
  aDraw('A2', { target: g(110), low: g(108), high: g(112) }),
  topUp,
  aDraw('A3', { target: g(110), low: g(108), high: g(112) }),
];
const before = aPlan([first, stir, second, third]);
const after = { ...aPlan(grown), mass: g(330) };

const rescued: Happened = {
  kind: 'rescued',
  draw: 'A2',
  meant: 'exact',
  from: { mass: before.mass, bars: null },
  plan: after,
  topUps: ['A1.2'],
  say: 'Scale up by a tenth.',
};

const held: Happened[] = [
  placing(first, g(300)),
  weighing(first, g(300), g(100)),
  { kind: 'step-done', step: 'A/1', bursts: 0 },
  placing(second, g(400)),
  { kind: 'held', draw: 'A2', net: g(110), over: g(8) },
];
const stateAfter = (...happened: Happened[]) => sealed(happened).reduce(apply, planned(BATCH, before));

test('the plan is the new one; what is done and what is on the pan stay as they are', () => {
  const [was, is] = [stateAfter(...held), stateAfter(...held, rescued)];
  expect(is.plan).toEqual(after);
  expect(is.draws.A1).toEqual(was.draws.A1);
  expect(is.draws.A2).toEqual({ ...was.draws.A2, base: g(400), peak: g(110) });
  expect(is.draws['A1.2']).toMatchObject({ status: 'open', base: null, net: null });
  expect(is.steps).toEqual(was.steps);
  expect(is.vessels).toEqual(was.vessels);
});

test('the held weight is now what is wanted, then come the top-up and the rest', () => {
  const is = stateAfter(...held, rescued);
  expect(nextTask(is)?.id).toBe('A2');
  expect(wanted(is, second)).toMatchObject({ target: g(100) }); // of the old plan: no longer asked for
  const now = nextTask(is);
  expect(now?.kind === 'draw' && wanted(is, now)).toEqual({ target: g(110), low: g(108), high: g(112) });
  const on = stateAfter(...held, rescued, weighing(second, g(400), g(110)));
  expect(nextTask(on)?.id).toBe('A1.2');
  expect(wanted(on, topUp)).toEqual({ target: g(10), low: g(8), high: g(12) });
  const topped = stateAfter(
    ...held,
    rescued,
    weighing(second, g(400), g(110)),
    placing(topUp, g(510)),
    weighing(topUp, g(510), g(10)),
  );
  expect(nextTask(topped)?.id).toBe('A3');
});

test('what stayed in the cup is made up for by the top-up', () => {
  const cup = { way: 'cup', on: 'cup', scale: 'fine' } as const;
  const small = aDraw('A1', cup);
  const state = sealed([
    placing(small, g(30)),
    weighing(small, g(30), g(100)),
    { kind: 'tipped', draw: 'A1', vessel: 'bowl', residue: g(1), deviation: null },
    { ...rescued, draw: null, plan: { ...after, tasks: [{ ...small, part: { ...whole, index: 1 } }, topUp] } },
  ]).reduce(apply, planned(BATCH, aPlan([small])));
  expect(wanted(state, topUp)).toEqual({ target: g(11), low: g(9), high: g(13) });
});

test('a draw that is neither weighed nor held begins anew', () => {
  const state = stateAfter(placing(first, g(300)), { ...rescued, draw: null });
  expect(state.draws.A1).toMatchObject({ status: 'open', base: null });
});

test('a rescue that names what its plan has not is no fact', () => {
  const said = (change: object) => checkFact({ ...sealed([rescued])[0], ...change });
  expect(said({})).toMatchObject({ ok: true });
  expect(said({ draw: 'Z9' })).toMatchObject({ why: 'draw: the plan has no draw Z9' });
  expect(said({ topUps: ['A1.2', 'Z9'] })).toMatchObject({ why: 'topUps: the plan has no draw Z9' });
  expect(said({ from: { mass: -1, bars: null } })).toMatchObject({ ok: false });
});
