/** One batch of two benches, asked across all: each draw counts once, in stock, in the trace and in the record. */
import { expect, test } from 'vitest';
import { backFrom } from '../../../src/cli/shared/handOver.ts';
import type { Fact, Happened } from '../../../src/facts/fact.ts';
import type { ToldFact } from '../../../src/facts/handOverFacts.ts';
import { sumOf } from '../../../src/mass/mass.ts';
import { FIRST_LINK, link } from '../../../src/records/chain.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { recordText } from '../../../src/records/record/recordText.ts';
import { AcrossBenches } from '../../../src/records/shared/acrossBenches.ts';
import type { BenchFacts } from '../../../src/records/shared/readBenches.ts';
import type { LogRow } from '../../../src/records/shared/sharedHistory.ts';
import { aPart, bringing, DYE_ROOM, PART, Told, WET_ROOM, WHOLE } from '../../facts/twoBenches.ts';
import { demo, demoFormula, planOf } from '../../plan/fixtures.ts';

function bench(id: string, name: string, facts: readonly Fact[]): BenchFacts {
  let hash = FIRST_LINK;
  const rows = facts.map((fact): LogRow => {
    const body = JSON.stringify(fact);
    hash = link(hash, body);
    return { ...fact, body, hash };
  });
  return { bench: id, name, rows, fault: null };
}

/** @param as what the whole batch says that it has of the part, where that is not what it was */
function twoBenches(comesOver: boolean, as?: (facts: readonly Fact[]) => readonly Fact[]) {
  const told = new Told(WHOLE, planOf(demo, demoFormula));
  told.say({ kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' });
  told.all();
  const part = aPart(['C']);
  part.all();
  part.say({ kind: 'finished' });
  // In a log each bench counts from 1.
  const facts = part.facts.map((fact, index) => ({ ...fact, seq: index + 1 }));
  const dyeRoom = bench(DYE_ROOM, 'dye_room', facts);
  if (comesOver) {
    const { seq = 0, hash = '' } = dyeRoom.rows.at(-1) ?? {};
    const inIt = (as?.(facts) ?? facts) as readonly ToldFact[];
    told.say({ ...bringing(part), seal: { seq, hash }, facts: inIt } as Happened);
    told.all();
    told.say({ kind: 'finished' });
  }
  const across = new AcrossBenches([bench(WET_ROOM, 'wet_room', told.facts), dyeRoom]);
  return { told, part, across };
}

const whole = `wet_room/${WHOLE}`;
const piece = `dye_room/${PART}`;

test('before it is brought in, the part has what was weighed there, and says where it goes', () => {
  const { part, across } = twoBenches(false);
  const [tapioca] = part.weighed();
  const uses = across.traced((look) => look.usesOfLot({ ingredient: 'tapioca-starch', lot: 'TS-9' }));
  expect(uses).toMatchObject([{ batch: piece, fate: 'in', inside: tapioca?.net }]);
  const notes = across.traced((look) => [look.batch(piece)?.corrections, look.batch(whole)?.corrections]);
  expect(notes[0]).toEqual([`part of batch ${whole}: what is in it goes in there, once that bench brings it in`]);
  expect(notes[1]).toEqual(['phase C is weighed at dye_room, and not told here yet']);
  // What the other bench weighs is nothing that this one is still to take.
  const mine = across.traced((look) => look.usesOfBatch(whole).filter(({ draw }) => draw.startsWith('C')));
  expect(mine).toEqual([]);
});

test('once it is brought in, the whole batch has it, and only that', () => {
  const { told, part, across } = twoBenches(true);
  const uses = across.traced((look) => look.usesOfLot({ ingredient: 'tapioca-starch', lot: 'TS-9' }));
  expect(uses).toMatchObject([{ batch: whole, fate: 'in', taken: part.weighed()[0]?.net }]);
  expect(across.traced((look) => look.usesOfBatch(piece))).toEqual([]);
  const notes = across.traced((look) => look.batch(whole)?.corrections);
  expect(notes).toEqual(['phase C was weighed at dye_room, out of the lots there']);
  const all = [...told.weighed(), ...part.weighed()];
  const inIt = across.traced((look) => look.usesOfBatch(whole));
  expect(sumOf(inIt.map(({ taken }) => taken))).toBe(sumOf(all.map(({ net }) => net)));
  // Stock counts each where it was weighed, and so once.
  const used = across.stock((stock) => stock.all().map(({ holding }) => holding.used));
  expect(sumOf(used)).toBe(sumOf(all.map(({ net }) => net)));
  const record = batchRecord(across.facts(whole), across.seal(whole));
  expect(record.totals.net).toBe(sumOf(all.map(({ net }) => net)));
  const text = recordText(record, 100);
  expect(text).toMatch(/Benches:\n +- Phase C: weighed at dye_room, as batch 2026-11-25-4 there/);
  expect(text).toContain('dye_room/bench');
  // The part's own record has what was weighed there, for whoever stands there.
  const own = batchRecord(across.facts(piece), across.seal(piece));
  expect(own.totals.net).toBe(sumOf(part.weighed().map(({ net }) => net)));
  expect(recordText(own)).toContain('This is part of batch 2026-11-25-1 of wet_room');
});

test('what the whole batch has otherwise than it was weighed there stays told there: a recall leaves nothing out', () => {
  const { part, across } = twoBenches(true, (facts) =>
    facts.map((fact) => (fact.kind === 'weighed' && fact.lot === 'TS-9' ? { ...fact, lot: 'TS-5' } : fact)),
  );
  const [tapioca] = part.weighed();
  const uses = across.traced((look) => look.usesOfLot({ ingredient: 'tapioca-starch', lot: 'TS-9' }));
  expect(uses).toContainEqual(expect.objectContaining({ batch: piece, fate: 'in', inside: tapioca?.net }));
});

test('a part that was given up is told as such: in its trace, in its record, and to who takes it back', () => {
  const part = aPart(['C']);
  expect(backFrom('dye_room', [part])).toBe('dye_room has weighed nothing of it.');
  part.next();
  expect(backFrom('dye_room', [part])).toMatch(/gave up what it had begun\. .*or empty it\.$/);
  part.say({ kind: 'abandoned', reason: 'ended by the maker' });
  const told = new Told(WHOLE, planOf(demo, demoFormula));
  told.say({ kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' });
  told.say({ kind: 'called-back', number: 1, reason: null });
  const facts = part.facts.map((fact, index) => ({ ...fact, seq: index + 1 }));
  const across = new AcrossBenches([bench(WET_ROOM, 'wet_room', told.facts), bench(DYE_ROOM, 'dye_room', facts)]);
  const notes = across.traced((look) => look.batch(piece)?.corrections);
  expect(notes).toEqual([`part of batch ${whole}: given up, so nothing of it is to be in there`]);
  const own = recordText(batchRecord(across.facts(piece), across.seal(piece)), 200);
  expect(own).toContain('It was given up here, and nothing of it belongs in there.');
  const record = recordText(batchRecord(across.facts(whole), across.seal(whole)), 200);
  expect(record).toContain('taken back, nothing that was weighed there is in this batch.');
});
