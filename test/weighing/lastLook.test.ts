/** What was weighed last: the empty pan is looked at before the batch ends, or the record tells that nobody did. */
import { expect, it } from 'vitest';
import { noticesFor } from '../../src/screen/fill/notices.ts';
import { wordsFor } from '../../src/screen/fill/words.ts';
import { abandon, pan, type Rig, startChart, stop, undo, yes } from './chartRig.ts';
import { aDraw, aPlan, aStep, dye, g, oil } from './samplePlan.ts';

async function begin(tasks: Parameters<typeof aPlan>[0]): Promise<Rig> {
  const rig = await startChart([{ kind: 'gathered' }], aPlan(tasks));
  await rig.tell(pan.empties('bench'), pan.empties('fine'));
  return rig;
}

async function pours(rig: Rig, from: number, to: number): Promise<void> {
  await rig.tell(pan.moves('bench'), pan.settles('bench', from), pan.moves('bench'), pan.settles('bench', to));
  await rig.tell(pan.dwells('bench', to));
}

const two = [aDraw('A1'), aDraw('A2')];

it('asks for it, and is done by lifting alone', async () => {
  const rig = await begin(two);
  await pours(rig, 300, 400);
  await pours(rig, 400, 500);
  expect(rig.state).toBe('lastLook');
  expect(wordsFor(rig.snapshot)).toMatchObject({
    headline: 'LIFT',
    say: expect.stringContaining('off the bench scale'),
  });
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'finished', zeroSeen: ['A1', 'A2'] });
  expect(rig.written.at(-1)).not.toHaveProperty('zeroUnseen');
});

it('a zero that moved during the last draw marks it, as any other', async () => {
  const rig = await begin(two);
  await pours(rig, 300, 400);
  await pours(rig, 400, 500);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -0.4));
  expect(rig.written.slice(-2)).toMatchObject([
    { kind: 'zero-shifted', scale: 'bench', shift: g(-0.4), draws: ['A1', 'A2'] },
    { kind: 'finished' },
  ]);
});

it('left unseen by a key, it is told of each draw that nobody looked after', async () => {
  const rig = await begin([aDraw('A1'), dye]);
  await pours(rig, 300, 400);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0));
  await rig.tell(pan.settles('fine', 80), pan.moves('fine'), pan.settles('fine', 79.2), pan.dwells('fine', 79.2));
  expect(rig.state).toBe('lastLook');
  await rig.tell(yes);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'finished', zeroUnseen: ['B1'] });
});

it('asks nothing where work between draws had the vessel lifted', async () => {
  const rig = await begin([aDraw('A1'), aStep('A2', 'check')]);
  await pours(rig, 300, 400);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0.1), yes);
  expect(rig.written.slice(-2)).toMatchObject([{ kind: 'step-done', zeroSeen: ['A1'] }, { kind: 'finished' }]);
});

it('a cup that is tipped was lifted', async () => {
  const rig = await begin([oil]);
  await rig.tell(pan.settles('fine', 30), pan.moves('fine'), pan.settles('fine', 35), pan.dwells('fine', 35));
  await rig.tell(pan.moves('fine'), pan.emptiesBy('fine', 0), pan.settles('fine', 30), pan.dwells('fine', 30));
  expect(rig.written.slice(-2)).toMatchObject([{ kind: 'tipped', zeroSeen: ['C1'] }, { kind: 'finished' }]);
});

it('a gap in the readings before the empty pan is seen tells nothing, and that is told at the end', async () => {
  const rig = await begin([aDraw('A1'), aDraw('A2', { on: 'beaker', vessel: 'beaker' })]);
  await pours(rig, 300, 400);
  await rig.tell(pan.isSilent('bench'), pan.isFresh('bench'), pan.empties('bench'));
  await pours(rig, 150, 250);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'finished', zeroSeen: ['A2'], zeroUnseen: ['A1'] });
});

it('a zero key pressed under the load hides what drifted besides: that draw stays unseen', async () => {
  const rig = await begin([aDraw('A1'), aDraw('A2', { on: 'beaker', vessel: 'beaker' })]);
  await pours(rig, 300, 400);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', -400));
  await pours(rig, 150, 250);
  await rig.tell(pan.moves('bench'), pan.emptiesBy('bench', 0));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'finished', zeroSeen: ['A2'], zeroUnseen: ['A1'] });
});

it('asks for no look that could tell nothing: the scale is silent', async () => {
  const rig = await begin(two);
  await pours(rig, 300, 400);
  await pours(rig, 400, 500);
  await rig.tell(pan.isSilent('bench'));
  expect(rig.written.at(-1)).toMatchObject({ kind: 'finished', zeroUnseen: ['A1', 'A2'] });
});

it('what was weighed last can be taken back meanwhile, and the maker may stop', async () => {
  const rig = await begin(two);
  await pours(rig, 300, 400);
  await pours(rig, 400, 500);
  await rig.tell(stop);
  expect(rig.state).toBe('paused');
  await rig.tell(yes, undo);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'undone', id: 'A2' });
  expect(rig.snapshot.context.batch.unseen).toEqual(['A1']);
  await rig.tell(stop, abandon, yes);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'abandoned', zeroUnseen: ['A1'] });
});

it('before work on another vessel, a jar that is left on its scale is asked to be lifted: the scale may fall asleep', async () => {
  const rig = await begin([dye, aStep('B2', 'mix', { vessel: 'bowl' })]);
  await rig.tell(pan.settles('fine', 80), pan.moves('fine'), pan.settles('fine', 79.2), pan.dwells('fine', 79.2));
  expect(rig.state).toBe('step.ready');
  expect(noticesFor(rig.snapshot)).toEqual(['Lift what stands on the fine scale off: its zero is seen then.']);
  await rig.tell(pan.moves('fine'), pan.emptiesBy('fine', 0));
  expect(noticesFor(rig.snapshot)).toEqual([]);
  const melts = await begin([aDraw('A1'), aStep('A2', 'mix', { vessel: 'bowl' })]);
  await pours(melts, 300, 400);
  expect(noticesFor(melts.snapshot)).toEqual([]);
});

it('once the emptied vessel is back and read, hands off is all that is said', async () => {
  const rig = await begin([dye, aStep('B2', 'combine', { vessel: 'beaker', into: 'bowl' })]);
  await rig.tell(pan.settles('fine', 80), pan.moves('fine'), pan.settles('fine', 79.2), pan.dwells('fine', 79.2));
  expect(noticesFor(rig.snapshot)).toHaveLength(1);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 150.1));
  expect(wordsFor(rig.snapshot).headline).toBe('READY');
  expect(noticesFor(rig.snapshot)).toEqual([]);
});
