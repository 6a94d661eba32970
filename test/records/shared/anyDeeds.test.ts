/**
 * One batch of two benches after any deeds at both (taken back, split, thrown away, given up, too much): record, stock and
 * trace count each draw once, in each log and across them. TWO_BENCHES=400 for a long run.
 */
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { broughtInWith } from '../../../src/facts/broughtIn.ts';
import { contentOf } from '../../../src/facts/combine.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { whyNotHandOver } from '../../../src/facts/handOver.ts';
import { restOf, secondVessel } from '../../../src/facts/split.ts';
import { nextTask, wanted } from '../../../src/facts/wanted.ts';
import { type Mass, mass, minus, plus, sumOf, ZERO } from '../../../src/mass/mass.ts';
import { type BatchLog, openLog } from '../../../src/records/batchLog.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { AcrossBenches } from '../../../src/records/shared/acrossBenches.ts';
import { bringingIn, type Theirs } from '../../../src/records/shared/parts.ts';
import { verifyLog } from '../../../src/records/verify.ts';
import { movesOf } from '../../../src/stock/moves.ts';
import { DYE_ROOM, otherPlan, PART, Told, WET_ROOM, WHOLE } from '../../facts/twoBenches.ts';
import { demo, demoFormula, planOf } from '../../plan/fixtures.ts';
import { weighing } from '../../weighing/samplePlan.ts';
import { IN_MEMORY, tempFolder } from '../tempFolder.ts';

const plan = planOf(demo, demoFormula);
const DEEDS = ['next', 'next', 'next', 'undo', 'give up', 'lot ends', 'jar empty', 'full', 'over', 'discard'] as const;
type Deed = (typeof DEEDS)[number];

/** Does it, where that can be done now. */
function does(told: Told, deed: Deed, chance: () => number): void {
  const { state } = told;
  const task = nextTask(state);
  if (deed === 'undo' && state.undoable) {
    const { seq, of, id } = state.undoable;
    told.say({ kind: 'undone', corrects: seq, of, id, how: 'key' });
    return;
  }
  if (deed === 'give up') {
    const filled = state.plan.phases.map(({ vessel }) => vessel).filter((id) => state.vessels[id]?.holds.length);
    const vessel = filled[Math.floor(chance() * filled.length)];
    if (vessel === undefined) return;
    const draws = broughtInWith(state, state.vessels[vessel]?.holds ?? []);
    told.say({ kind: 'given-up', vessel, draws, reason: 'it fell' });
    return;
  }
  if (task?.kind !== 'draw' || state.draws[task.id]?.status !== 'open' || deed === 'next' || deed === 'undo') {
    told.next((low, high) => mass(Math.round(low + chance() * (high - low))));
    return;
  }
  const { id: draw, on: vessel, scale, way, lot } = task;
  const isOpen = way === 'add' ? deed !== 'discard' : way === 'subtract' || deed === 'discard' || deed === 'over';
  if (!isOpen) return;
  const band = wanted(state, task);
  const tare = state.plan.vessels[vessel]?.tare ?? ZERO;
  const load = state.vessels[vessel]?.load ?? (way === 'subtract' ? plus(tare, task.lotOnHand) : tare);
  told.say({ kind: 'placed', draw, vessel, scale, load, zero: ZERO, unusual: false });
  if (deed === 'discard') {
    told.say({ kind: 'discarded', draw, lot, amount: mass(1234), reason: 'into the bin' });
    return;
  }
  if (deed === 'over') {
    const takenBack = mass(500_000);
    told.say({ kind: 'held', draw, net: plus(band.target, takenBack), over: takenBack });
    told.say({ ...weighing(task, load, band.target, band), takenBack } as Happened);
    if (way === 'cup') told.say({ kind: 'tipped', draw, vessel: task.vessel, residue: ZERO, deviation: null });
    return;
  }
  const come = deed === 'jar empty' ? ZERO : mass(Math.floor(band.low / 2));
  const left = { target: minus(band.target, come), low: minus(band.low, come), high: minus(band.high, come) };
  const newVessel = deed === 'full' && way === 'add' ? secondVessel(state.plan, task.vessel) : null;
  const rest = restOf(task, left, deed === 'full' ? { id: lot, onHand: 1 } : { id: `${lot} b`, onHand: 9_000_000_000 });
  const into = newVessel === null ? rest : { ...rest, vessel: newVessel.id, on: newVessel.id };
  const why = deed === 'full' ? 'full' : 'lot-ended';
  told.say({ kind: 'split', draw, why, nothingYet: come === ZERO, rest: into, newVessel });
  if (come > 0) told.say({ ...weighing(task, load, come, band), lotEnded: why === 'lot-ended' } as Happened);
}

/** The same facts in a log of their own, written one after the other. */
async function logOf(file: string, { facts }: Told): Promise<BatchLog> {
  const log = openLog(file);
  for (const { seq: _, at: _at, by, batch, ...happened } of facts) await log.append(batch, by, [happened]);
  return log;
}

const used = (...all: readonly Told[]): Mass =>
  sumOf(all.flatMap(({ facts }) => movesOf(facts).map((move) => move.used)));

async function holds(phases: readonly string[], deeds: readonly (readonly Deed[])[], chance: () => number) {
  const [before = [], there = [], after = []] = deeds;
  const told = new Told(WHOLE, plan);
  if (whyNotHandOver(told.state, phases) !== undefined) return;
  told.say({ kind: 'handed-over', number: 1, phases, to: 'dye_room' });
  for (const deed of before) does(told, deed, chance);
  const part = new Told(PART, otherPlan(phases, told.state.plan));
  const seal = { seq: 1, hash: 'ab'.repeat(32) };
  part.say(
    { kind: 'joined', bench: WET_ROOM, role: 'wet_room', of: WHOLE, number: 1, seal },
    { kind: 'join-confirmed' },
  );
  for (const deed of there) does(part, deed, chance);
  part.all();
  part.say({ kind: 'finished' });
  const folder = tempFolder(IN_MEMORY);
  const dye = await logOf(join(folder, 'dye.db'), part);
  const head = dye.seal() ?? seal;
  const read: Theirs = {
    bench: DYE_ROOM,
    role: 'dye_room',
    batch: PART,
    state: part.state,
    facts: dye.facts(),
    seal: head,
    head,
  };
  const bringing = bringingIn(told.state, 1, [read]);
  if (typeof bringing !== 'object') throw new Error(`it is not brought in: ${bringing}`);
  told.say(bringing);
  for (const deed of after) does(told, deed, chance);
  told.all();
  expect(nextTask(told.state)).toBeUndefined();
  told.say({ kind: 'finished' });
  const wet = await logOf(join(folder, 'wet.db'), told);
  const record = batchRecord(wet.facts(), wet.seal());
  expect(record.totals.taken).toBe(used(told, part));
  const filled = Object.keys(told.state.vessels).map((id) => contentOf(told.state, id));
  expect(minus(record.totals.bowl, record.totals.stuck)).toBe(sumOf(filled));
  const all = [
    { bench: WET_ROOM, name: 'wet_room', rows: wet.rows(0, 9999), fault: null },
    { bench: DYE_ROOM, name: 'dye_room', rows: dye.rows(0, 9999), fault: null },
  ];
  const across = new AcrossBenches(all);
  expect(sumOf(across.stock((stock) => stock.all().map(({ holding }) => holding.used)))).toBe(used(told, part));
  const uses = across.traced((look) => look.usesOfBatch(`wet_room/${WHOLE}`)).filter(({ fate }) => fate === 'in');
  expect(sumOf(uses.map(({ taken }) => taken))).toBe(sumOf(record.draws.map(({ taken }) => taken)));
  expect(across.traced((look) => look.usesOfBatch(`dye_room/${PART}`))).toEqual([]);
  for (const log of [wet, dye]) {
    log.close();
    expect(verifyLog(log.file)).toMatchObject({ ok: true, damages: [] });
  }
}

test('each draw counts once, whatever was done at both benches', async () => {
  const some = fc.array(fc.constantFrom(...DEEDS), { maxLength: 20 });
  const phases = fc.subarray(['A', 'B', 'C'], { minLength: 1 });
  const chance = fc.infiniteStream(fc.double({ min: 0, max: 0.999, noNaN: true }));
  const property = fc.asyncProperty(phases, fc.tuple(some, some, some), chance, async (handed, deeds, stream) => {
    await holds(handed, deeds, () => stream.next().value ?? 0);
  });
  await fc.assert(property, { numRuns: Number(process.env.TWO_BENCHES ?? 10) });
});
