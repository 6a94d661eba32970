/** Out of a hold by a larger batch: what is worked out is for the weight on the pan, and for no other. */
import { expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { rescueNow } from '../../src/weighing/rescueNow.ts';
import { batchAfter, type FindRescue, keep, pan, type Rig, seen, startChart, stop, undo, yes } from './chartRig.ts';
import { add, gathered, next } from './chartWalks.ts';
import { aPlan, g, oil, placing, seenDye, weighing } from './samplePlan.ts';
import { aRescue } from './sampleRescue.ts';

const began: readonly Happened[] = [gathered, placing(add, g(300))];

/** Answers at once, and counts what it was asked. */
function finder(): { readonly asked: number[]; readonly find: FindRescue } {
  const asked: number[] = [];
  return {
    asked,
    find: async ({ batch, held }) => {
      if (held === null) throw new Error('nothing is held');
      asked.push(held.net);
      return aRescue(batch, held);
    },
  };
}

async function heldAt(grams: number, find: FindRescue): Promise<Rig> {
  const rig = await startChart(began, aPlan(), find);
  await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'), pan.settles('bench', grams));
  expect(rig.state).toBe('hold.open');
  return rig;
}

/** The yes to the first offer that the chart has now. */
function takes(rig: Rig) {
  const [offer] = rescueNow(rig.snapshot.context)?.offers ?? [];
  if (!offer) throw new Error('nothing is offered');
  return { type: 'answer.rescue', offer } as const;
}

test('accepted, the weight on the pan is right, and is written down by dwelling like any other', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  expect(asked).toEqual([g(105)]);
  await rig.tell(takes(rig));
  expect(rig.state).toBe('pouring.inBand');
  expect(rig.written.map(({ kind }) => kind)).toEqual(['held', 'rescued']);
  await rig.tell(pan.dwells('bench', 405));
  expect(rig.written.slice(1)).toMatchObject([
    { kind: 'rescued', draw: 'A1', meant: 'exact', from: { mass: aPlan().mass } },
    { kind: 'weighed', draw: 'A1', net: g(105), how: 'dwell', target: g(105), takenBack: 0, deviation: null },
    next,
  ]);
});

test('more poured in: it is worked out anew, and the old offer is no answer any more', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  const old = takes(rig);
  await rig.tell(pan.moves('bench'), old);
  expect(rig.written.map(({ kind }) => kind)).toEqual(['held']);
  await rig.tell(pan.settles('bench', 407), old);
  expect(asked).toEqual([g(105), g(107)]);
  expect(rig.written.map(({ kind }) => kind)).toEqual(['held', 'held']);
  await rig.tell(takes(rig));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'rescued' });
});

test('some taken back, but not enough: worked out anew for what is left', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 403));
  expect([rig.state, asked]).toEqual(['hold.open', [g(105), g(103)]]);
  await rig.tell(takes(rig), pan.dwells('bench', 403));
  expect(rig.written).toContainEqual(
    expect.objectContaining({ kind: 'weighed', net: g(103), target: g(103), takenBack: g(2) }),
  );
});

test('the same weight again after it trembled: nothing is worked out twice', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 405));
  expect(asked).toEqual([g(105)]);
  expect(takes(rig).offer.extra).toBe(g(5));
});

test('a number that trembles between two figures: what was worked out for the larger holds for both', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 404.9), pan.moves('bench'), pan.settles('bench', 405));
  await rig.tell(pan.moves('bench'), pan.settles('bench', 404.9));
  expect(asked).toEqual([g(105)]);
  await rig.tell(takes(rig), pan.dwells('bench', 404.9));
  expect(rig.written.slice(1, 3)).toMatchObject([
    { kind: 'rescued', draw: 'A1' },
    { kind: 'weighed', net: g(104.9), takenBack: 0, how: 'dwell', deviation: null },
  ]);
});

test('while it is worked out all else is open; an answer for a weight that has gone is not heard', async () => {
  const answers: (() => void)[] = [];
  const find: FindRescue = ({ batch, held }) =>
    new Promise((resolve) => answers.push(() => held && resolve(aRescue(batch, held))));
  const rig = await startChart(began, aPlan(), find);
  await rig.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'), pan.settles('bench', 405));
  expect(rig.state).toBe('hold.searching');
  await rig.tell(pan.moves('bench'), pan.settles('bench', 403));
  answers[0]?.();
  await rig.tell(pan.dwells('bench', 403));
  expect([rig.state, rescueNow(rig.snapshot.context)]).toEqual(['hold.searching', null]);
  answers[1]?.();
  await rig.tell(pan.dwells('bench', 403));
  expect(takes(rig).offer.raised).toMatchObject([{ to: g(103) }]);

  const kept = await startChart(began, aPlan(), () => new Promise(() => {}));
  await kept.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'), pan.settles('bench', 405));
  await kept.tell(keep('melted in'));
  expect(kept.written).toContainEqual(expect.objectContaining({ kind: 'weighed', net: g(105) }));
});

test('nothing is offered where working it out breaks, and the hold is as before', async () => {
  const rig = await heldAt(405, async () => {
    throw new Error('broken');
  });
  expect(rescueNow(rig.snapshot.context)).toEqual({ offers: [], refused: [] });
  await rig.tell(pan.moves('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
  expect(rig.written).toContainEqual(expect.objectContaining({ kind: 'weighed', net: g(100), takenBack: g(5) }));
});

test('a display that is not believed is no weight to scale up to', async () => {
  const { find } = finder();
  const rig = await heldAt(405, find);
  const offer = takes(rig);
  const level = pan.settles('bench', 405);
  await rig.tell({ ...level, doubted: true } as typeof level, offer);
  expect(rig.written.map(({ kind }) => kind)).toEqual(['held']);
});

test('what may never be over can be scaled up, as it is not over any more', async () => {
  const { find } = finder();
  const rig = await startChart([gathered, placing(oil, g(30))], aPlan([oil]), find);
  await rig.tell(pan.empties('fine'), pan.settles('fine', 30), pan.moves('fine'), pan.settles('fine', 35.2));
  await rig.tell(keep('no matter'));
  expect(rig.state).toBe('hold.open');
  await rig.tell(takes(rig), pan.dwells('fine', 35.2));
  expect(rig.written.slice(1)).toMatchObject([
    { kind: 'rescued', draw: 'C1' },
    { kind: 'weighed', net: g(5.2), deviation: null },
  ]);
  expect(rig.state).toBe('tipping.waiting');
});

test('where a second person has to look, they look at the weight once it is right', async () => {
  const { find } = finder();
  const rig = await startChart([gathered, placing(seenDye, g(80))], aPlan([seenDye]), find);
  await rig.tell(pan.empties('fine'), pan.settles('fine', 80), pan.moves('fine'), pan.settles('fine', 79.1));
  await rig.tell(takes(rig));
  expect(rig.state).toBe('pouring.inBand');
  await rig.tell(pan.dwells('fine', 79.1));
  expect(rig.state).toBe('witnessing');
  await rig.tell(seen());
  expect(rig.written).toContainEqual(
    expect.objectContaining({ kind: 'weighed', net: g(0.9), witness: expect.any(String) }),
  );
});

test('cut off right after it was written: taken up again, the weight is in its band', async () => {
  const { find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(takes(rig));
  const written = rig.written.map(({ batch, seq, at, by, ...happened }) => happened as Happened);
  const anew = await startChart([...began, ...written, { kind: 'resumed' }], aPlan(), find);
  await anew.tell(pan.empties('bench'), pan.settles('bench', 405));
  expect(anew.state).toBe('pouring.inBand');
  await anew.tell(pan.dwells('bench', 405));
  expect(anew.written[0]).toMatchObject({ kind: 'weighed', net: g(105), target: g(105) });
});

test('what was accepted before can not be taken back any more: the batch has grown around it', async () => {
  const { find } = finder();
  const log: Happened[] = [gathered, placing(add, g(300)), weighing(add, g(300), g(100))];
  const rig = await startChart(log, aPlan(), find);
  await rig.tell(pan.empties('bench'), pan.settles('bench', 400), pan.dwells('bench', 400));
  await rig.tell(pan.moves('bench'), pan.settles('bench', 490));
  const before = batchAfter(log).undoable;
  expect(before?.id).toBe('A1');
  await rig.tell(takes(rig));
  expect(rig.snapshot.context.batch.undoable).toBeNull();
  await rig.tell(undo);
  expect(rig.written.some(({ kind }) => kind === 'undone')).toBe(false);
});

test('its scale lost and back: what was worked out before holds; what was not is asked for anew', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(pan.isSilent('bench'), pan.isFresh('bench'), pan.empties('bench'), pan.settles('bench', 405));
  expect(rig.written.map(({ kind }) => kind)).toEqual(['held', 'scale-lost', 'scale-back']);
  expect([rig.state, asked]).toEqual(['hold.open', [g(105)]]);
  await rig.tell(takes(rig));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'rescued' });

  let times = 0;
  const never = await startChart(began, aPlan(), () => {
    times += 1;
    return new Promise(() => {});
  });
  await never.tell(pan.empties('bench'), pan.settles('bench', 300), pan.moves('bench'), pan.settles('bench', 405));
  await never.tell(pan.isSilent('bench'), pan.isFresh('bench'), pan.empties('bench'), pan.settles('bench', 405));
  expect([never.state, times]).toEqual(['hold.searching', 2]);
});

test('stopped while it is offered, and taken up: it is offered again', async () => {
  const { asked, find } = finder();
  const rig = await heldAt(405, find);
  await rig.tell(stop);
  expect(rig.state).toBe('paused');
  await rig.tell(yes);
  expect([rig.state, asked]).toEqual(['hold.open', [g(105)]]);
  await rig.tell(takes(rig));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'rescued' });
});
