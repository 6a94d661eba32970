/** What is said where a batch of two benches, or a part of one, ends: who else has to hear of it, and what of its vessel. */
import { expect, test } from 'vitest';
import { nextTask } from '../../src/facts/wanted.ts';
import { endedWords, endItWords } from '../../src/screen/fill/endWords.ts';
import { placeOf } from '../../src/screen/fill/names.ts';
import { aPart, Told, WHOLE } from '../facts/twoBenches.ts';
import { demo, demoFormula, planOf } from '../plan/fixtures.ts';

test('a part that is given up is not for the bench that handed it over, and that bench can take it back', () => {
  const part = aPart(['C']);
  expect(endItWords(part.state)).toMatchObject({ say: expect.stringMatching(/this part of wet_room's batch/) });
  part.say({ kind: 'abandoned', reason: 'ended by the maker' });
  const { say, detail } = endedWords(part.state);
  expect(say).toMatch(/given up\. Mark or empty its vessel/);
  expect(detail).toContainEqual(expect.stringMatching(/At wet_room: bismar hand-over C --back/));
});

test('who ends a batch is reminded of the bench that still weighs for it; of no other', () => {
  const told = new Told(WHOLE, planOf(demo, demoFormula));
  expect(endItWords(told.state).detail).toEqual([]);
  told.say({ kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' });
  expect(endItWords(told.state).detail).toEqual(['Phase C is at dye_room: tell them.']);
  told.say({ kind: 'abandoned', reason: 'ended by the maker' });
  expect(endedWords(told.state).say).toMatch(/^The batch was ended unfinished/);
});

test('draws that another bench weighs are not counted here', () => {
  const told = new Told(WHOLE, planOf(demo, demoFormula));
  const draw = nextTask(told.state);
  if (draw?.kind !== 'draw') throw new Error('the demo begins otherwise now');
  const draws = told.state.plan.tasks.filter(({ kind }) => kind === 'draw');
  const theirs = draws.filter(({ phase }) => phase === 'C').length;
  expect(placeOf(told.state, draw)).toBe(`1 of ${draws.length}`);
  told.say({ kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' });
  expect(theirs).toBeGreaterThan(0);
  expect(placeOf(told.state, draw)).toBe(`1 of ${draws.length - theirs}`);
});
