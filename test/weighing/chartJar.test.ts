/** Double entry: the jar's loss and the cup's gain must agree. */
import { expect, it } from 'vitest';
import { jarWords } from '../../src/screen/fill/jarWords.ts';
import { keep, pan, type Rig, startChart, yes } from './chartRig.ts';
import { gathered } from './chartWalks.ts';
import { aPlan, g, oil, withJar } from './samplePlan.ts';

const jarTasks = withJar(oil);
const puts = (grams: number) => [
  pan.moves('fine'),
  pan.empties('fine'),
  pan.moves('fine'),
  pan.settles('fine', grams),
  pan.dwells('fine', grams),
];

/** The jar of 120 g is weighed, 5 g of oil drawn by the cup and tipped. */
async function drawn(): Promise<Rig> {
  const rig = await startChart([gathered], aPlan(jarTasks));
  await rig.tell(pan.empties('fine'), ...puts(120));
  expect(rig.written).toMatchObject([{ kind: 'jar-weighed', when: 'before', load: g(120), left: null, reason: null }]);
  await rig.tell(...puts(30), pan.moves('fine'), pan.settles('fine', 35), pan.dwells('fine', 35));
  await rig.tell(...puts(30.02));
  expect(rig.state).toBe('jar.waiting');
  return rig;
}

it('agrees: passed by itself, with what has left the jar', async () => {
  const rig = await drawn();
  await rig.tell(...puts(115));
  expect(rig.written.slice(-2)).toMatchObject([
    { kind: 'jar-weighed', when: 'after', draw: 'C1', load: g(115), left: g(5), reason: null },
    { kind: 'finished' },
  ]);
});

it('disagrees: says by how much and which way, and a reflex Enter does not pass it', async () => {
  const rig = await drawn();
  await rig.tell(...puts(114.2));
  expect(rig.state).toBe('jar.off');
  expect(jarWords(rig.snapshot)).toMatchObject({
    headline: 'JAR IS OFF',
    say: '0.80 g more has left the jar than came in. Ingredient C1, lot lot C1.',
  });
  await rig.tell(yes);
  expect(rig.state).toBe('jar.off');
  await rig.tell(keep('a drop beside the cup'));
  expect(rig.written.slice(-2)).toMatchObject([
    { kind: 'jar-weighed', left: g(5.8), reason: 'a drop beside the cup' },
    { kind: 'finished' },
  ]);
});

it('is not answered by the cup that stands there, nor by another vessel of the batch', async () => {
  const rig = await drawn();
  const before = rig.written.length;
  await rig.tell(pan.dwells('fine', 30.02), ...puts(30.02));
  expect(rig.written).toHaveLength(before);
});

it('can be gone past with a key, before and after: then it is not weighed', async () => {
  const rig = await startChart([gathered], aPlan(jarTasks));
  await rig.tell(
    pan.empties('fine'),
    yes,
    ...puts(30),
    pan.moves('fine'),
    pan.settles('fine', 35),
    pan.dwells('fine', 35),
  );
  await rig.tell(...puts(30.02), ...puts(90));
  expect(rig.written.slice(-2), 'without the first there is nothing to compare').toMatchObject([
    { kind: 'jar-weighed', when: 'after', left: null, allowed: null, reason: null },
    { kind: 'finished' },
  ]);
});
