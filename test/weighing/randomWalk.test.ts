/**
 * Long walks by chance: wrong vessels, over-pours, lost scales, second thoughts, crashes in the middle of a write. The
 * chart's rules hold at every step, what is recorded is what truly was on the pan, and the batch can still be finished.
 */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { ZERO } from '../../src/mass/mass.ts';
import { checkSums } from './modelRules.ts';
import { TinyMaker } from './tinyMaker.ts';

const whim = fc.record({
  sensible: fc.nat(5),
  does: fc.nat(19),
  which: fc.nat(100),
  part: fc.double({ min: 0, max: 1.2, noNaN: true }),
});

function checkAll(maker: TinyMaker): void {
  for (const { fact, recorded, truly } of maker.compared) expect({ fact, is: recorded }).toEqual({ fact, is: truly });
  checkSums(maker.plan, maker.log);
  expect(maker.world.isConserved(maker.plan)).toBe(true);
  // Nothing over its band is accepted without a reason, and none that was not held before.
  for (const fact of maker.log) {
    if (fact.kind !== 'weighed' || fact.net <= fact.high) continue;
    const isHeld = maker.log.some((each) => each.kind === 'held' && each.draw === fact.draw && each.seq < fact.seq);
    expect([fact.deviation?.kind, isHeld]).toEqual(['over', true]);
  }
  expect(maker.log.map(({ seq }) => seq)).toEqual(maker.log.map((_, index) => index + 1));
}

it('a sensible maker finishes the batch with nothing but what was asked for', () => {
  const maker = new TinyMaker();
  for (let moves = 0; moves < 200 && !maker.isOver; moves++) maker.work();
  checkAll(maker);
  expect(maker.told.ended).toBe('finished');
  expect(maker.compared).toHaveLength(6);
});

it('whatever happens, what is recorded is true, and the batch can be finished', () => {
  const written = new Set<string>();
  fc.assert(
    fc.property(fc.array(whim, { maxLength: 60, size: 'max' }), (whims) => {
      const maker = new TinyMaker();
      for (const each of whims) maker.follow(each);
      checkAll(maker);
      for (let moves = 0; moves < 400 && !maker.isOver; moves++) maker.work();
      checkAll(maker);
      for (const fact of maker.log) written.add('deviation' in fact && fact.deviation ? 'deviation' : fact.kind);
      const { ended, draws } = maker.told;
      expect(ended).not.toBe('open');
      if (ended !== 'finished') return;
      for (const [id, { bowl }] of Object.entries(draws)) {
        expect({ id, bowl: bowl ?? ZERO }).toEqual({ id, bowl: maker.world.amount('bowl', id) });
      }
    }),
    { seed: 7, numRuns: 300 },
  );
  // The walks go to the dark corners too.
  const corners = [
    'rescued',
    'held',
    'deviation',
    'discarded',
    'given-up',
    'scale-lost',
    'scale-back',
    'finished',
    'abandoned',
  ];
  expect([...written]).toEqual(expect.arrayContaining(corners));
});
