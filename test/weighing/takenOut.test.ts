/** What came back out after an over-pour: asked once where it went, waste where nothing is said; stock counts by it. */
import { expect, it } from 'vitest';
import { stateOf } from '../../src/facts/apply.ts';
import type { Happened } from '../../src/facts/fact.ts';
import { ZERO } from '../../src/mass/mass.ts';
import { told } from '../../src/records/logTrouble.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { notesOf } from '../../src/records/record/recordSentences.ts';
import { choicesFor } from '../../src/screen/fill/choices.ts';
import { createControls } from '../../src/screen/fill/controls.ts';
import { noticesFor } from '../../src/screen/fill/notices.ts';
import { holdingOf, movesOf } from '../../src/stock/moves.ts';
import { returned } from '../../src/weighing/happened.ts';
import type { Station } from '../../src/weighing/station.ts';
import { createFakeClock } from '../fakeClock.ts';
import { pan, type Rig, startChart } from './chartRig.ts';
import { aDraw, aPlan, dye, g, oil, placing, sealed, weighing } from './samplePlan.ts';

const plan = aPlan([aDraw('A1'), aDraw('A2'), oil]);
const [first, second] = plan.tasks as [ReturnType<typeof aDraw>, ReturnType<typeof aDraw>];
const started: Happened = { kind: 'batch-started', plan };
const gathered: Happened = { kind: 'gathered' };
const tooMuch = weighing(first, g(300), g(101), { takenBack: g(7) });
const state = (...more: readonly Happened[]) => stateOf(sealed([started, gathered, ...more]));
const back = returned({ batch: state(placing(first, g(300)), tooMuch) }, 'jar');

it('is asked of what came out of a vessel with nothing else in it, until the next is accepted', () => {
  expect(state(placing(first, g(300)), tooMuch).takenOut).toEqual({ draw: 'A1', amount: g(7) });
  expect(state(tooMuch, weighing(second, g(401), g(100))).takenOut).toBeNull();
  expect(state(tooMuch, ...back).takenOut).toBeNull();
  expect(state(weighing(first, g(300), g(100))).takenOut).toBeNull();
});

it('is not asked out of a mixture, nor of a spoon: the one must not go into a jar, the other did', () => {
  const mixed = weighing(second, g(400), g(100), { takenBack: g(7) });
  expect(state(weighing(first, g(300), g(100)), mixed).takenOut).toBeNull();
  const spooned = aPlan([dye]);
  const facts = sealed([{ kind: 'batch-started', plan: spooned }, weighing(dye, g(80), g(0.8), { takenBack: g(0.1) })]);
  expect(stateOf(facts).takenOut).toBeNull();
});

it.each([
  ['nothing is said', [], 108, 'over-pour caught: 7.0 g taken back out'],
  ['it went into its jar', back, 101, 'over-pour caught: 7.0 g taken back out and put back into the jar'],
] as const)('%s: so the lot pays, and the record says', (_, said, used, note) => {
  const facts = sealed([started, gathered, placing(first, g(300)), tooMuch, ...said]);
  expect(holdingOf(movesOf(facts))).toMatchObject({ balance: g(-used), used: g(used) });
  const record = batchRecord(facts, { seq: facts.length, hash: '0'.repeat(64) });
  expect(record.draws[0]).toMatchObject({ taken: g(used), net: g(101), takenBack: g(7) });
  expect(record.draws[0] && notesOf(record.draws[0], record)).toContain(note);
  expect(record.lots.find(({ lot }) => lot === first.lot)?.waste).toBe(g(used - 101));
});

it('goes with the weight that it came out of, where that is taken back', () => {
  const undone: Happened = { kind: 'undone', corrects: 4, of: 'weighed', id: 'A1', how: 'key' };
  const facts = sealed([started, gathered, placing(first, g(300)), tooMuch, ...back, undone]);
  expect(stateOf(facts).draws.A1?.net).toBeNull();
  expect(holdingOf(movesOf(facts))).toMatchObject({ balance: ZERO, used: ZERO });
});

/** At the draw after one that was held, as its maker sees it. */
async function atNext(): Promise<Rig> {
  const rig: Rig = await startChart([gathered], plan);
  await rig.tell(pan.empties('bench'), pan.empties('fine'), pan.settles('bench', 300), pan.dwells('bench', 300));
  await rig.tell(pan.moves('bench'), pan.settles('bench', 409), pan.dwells('bench', 409));
  expect(rig.state).toMatch(/^hold/);
  await rig.tell(pan.moves('bench'), pan.settles('bench', 401), pan.dwells('bench', 401));
  expect(rig.written.at(-2)).toMatchObject({ kind: 'weighed', takenBack: g(8) });
  return rig;
}

it('that can not be written is said, with what to do, and is asked on; the next answer is written', async () => {
  const rig = await atNext();
  const full = told('full', 'batches.db', 'record');
  let isFull = true;
  let written = Promise.resolve();
  const station = {
    snapshot: () => rig.snapshot,
    returned: async (to: 'jar' | 'aside') => {
      if (isFull) throw full;
      written = rig.tell({ type: 'fact.noted', facts: sealed(returned(rig.snapshot.context, to), 50) });
      await written;
    },
  } as unknown as Station;
  let looks = 0;
  const onView = () => void looks++;
  const controls = createControls({ station, clock: createFakeClock(), onLeave: () => {}, onView });
  const later = () => new Promise(setImmediate);
  expect(controls.press('j')).toBe(true);
  await later();
  const [why, asked] = controls.view().detail;
  expect(looks).toBe(1);
  expect(why).toMatch(
    /^Not recorded: the disk with batches\.db is full\. All facts recorded before are safe\. Make room/,
  );
  expect(asked).toMatch(/came back out: waste, or say where it is \(j, c\)/);
  isFull = false;
  controls.press('j');
  await written;
  await later();
  expect(controls.view().detail.join('\n')).not.toMatch(/Not recorded|came back out/);
});

it('stands on the screen with a key each, and holds up nothing', async () => {
  const rig = await atNext();
  const open = choicesFor(rig.snapshot).map(({ key, label }) => `${key} ${label}`);
  expect(open).toEqual(expect.arrayContaining(['j 8.0 g taken out: back in its jar', 'c kept aside']));
  expect(noticesFor(rig.snapshot)[0]).toMatch(/^8\.0 g of Ingredient A1 came back out: waste, or say where it is/);
  const said = returned(rig.snapshot.context, 'aside');
  expect(said).toMatchObject([{ kind: 'returned', lot: first.lot, amount: g(8), to: 'aside' }]);
  const before = rig.state;
  await rig.tell({ type: 'fact.noted', facts: sealed(said, 50) });
  expect([rig.state, choicesFor(rig.snapshot).some(({ key }) => key === 'j')]).toEqual([before, false]);
});
