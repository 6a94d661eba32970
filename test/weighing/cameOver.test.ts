/** A vessel that has come over from another bench fell on the way: it is given up, and weighed again here. */
import { expect, it } from 'vitest';
import { choicesFor } from '../../src/screen/fill/choices.ts';
import { wordsFor } from '../../src/screen/fill/words.ts';
import { giveUp, pan, startChart, stop, yes } from './chartRig.ts';
import { handedOver, partDone } from './modelBench.ts';
import { aPlan, aStep, dye } from './samplePlan.ts';

const mixed = aStep('C1', 'mix', { vessel: 'beaker' });

async function cameOver() {
  const rig = await startChart([{ kind: 'gathered' }, handedOver], aPlan([dye, mixed]));
  await rig.tell(pan.empties('bench'), pan.empties('fine'));
  expect(rig.state).toBe('elsewhere');
  await rig.tell(partDone);
  expect(rig.state).toBe('summing.waiting');
  expect(wordsFor(rig.snapshot).detail.join(' ')).toMatch(/comes from dye_room.* x, then g/);
  return rig;
}

it('and the pan that it stands on has to be emptied first', async () => {
  const rig = await cameOver();
  await rig.tell(pan.moves('bench'), pan.settles('bench', 148), stop);
  expect(choicesFor(rig.snapshot).map(({ label }) => label)).toContain('give up what came over, 1 to weigh again');
  await rig.tell(giveUp);
  expect(rig.state).toBe('givingUp');
  expect(wordsFor(rig.snapshot)).toMatchObject({
    say: 'Throw away what came over in Beaker, and weigh it again?',
    detail: ['To be weighed again: Ingredient B1.'],
  });
  await rig.tell(yes);
  expect(rig.written.at(-1)).toMatchObject({ kind: 'given-up', vessel: 'beaker', draws: ['B1'] });
  expect(rig.state).toBe('placing');
  const { batch, pans } = rig.snapshot.context;
  expect(batch.draws.B1?.status).toBe('open');
  expect(batch.plan.tasks.find(({ id }) => id === 'B1')).toMatchObject({ scale: 'fine' });
  expect(pans.bench?.toEmpty).toBe(true);
  expect(pans.fine?.toEmpty).toBeFalsy();
});

it('a step of this bench is none that anything can be given up at', async () => {
  const rig = await cameOver();
  await rig.tell(yes, stop);
  expect(rig.state).toBe('paused');
  await rig.tell(giveUp);
  expect(rig.state).toBe('paused');
});
