/** A batch of another bench, read from the shared history: every word of it proved, and none of other batches asked for. */
import { expect, test } from 'vitest';
import type { Fact, Happened } from '../../../src/facts/fact.ts';
import { FIRST_LINK, link } from '../../../src/records/chain.ts';
import { offeredTo } from '../../../src/records/shared/parts.ts';
import { readBatch } from '../../../src/records/shared/readBatch.ts';
import type { LogRow, SharedHistory } from '../../../src/records/shared/sharedHistory.ts';
import { demo, demoFormula, planOf } from '../../plan/fixtures.ts';

const BENCH = '0b8e5a4e-3c86-4b8f-9a53-0c6d4a1f7e55';
const AT = '2026-11-25T10:00:00.000+01:00';
const [MINE, OTHER] = ['2026-11-25-2', '2026-11-25-1'];

type Told = readonly [batch: string, happened: Happened | { readonly kind: string }];

function rowsOf(told: readonly Told[]): LogRow[] {
  let hash = FIRST_LINK;
  return told.map(([batch, happened], index) => {
    const place = { batch, seq: index + 1, at: AT, by: 'Mira Tolland' };
    const body = JSON.stringify({ ...place, ...happened });
    hash = link(hash, body);
    return { ...place, kind: happened.kind, body, hash };
  });
}

function historyOf(rows: readonly LogRow[]): SharedHistory {
  const never = () => Promise.reject(new Error('not asked here'));
  return {
    enter: never,
    head: never,
    append: never,
    close: never,
    benches: async () => [{ bench: BENCH, role: 'wet_room', since: AT, facts: rows.length }],
    facts: async (_, after, most) => rows.filter(({ seq }) => seq > after).slice(0, most),
    placeOf: async (_, batch) => rows.find((row) => row.batch === batch)?.seq ?? null,
    ofKind: async (_, kind, after) => rows.filter((row) => row.kind === kind && row.seq > after),
  };
}

const plan = planOf(demo, demoFormula);
const started: Happened = { kind: 'batch-started', plan };
const handed: Happened = { kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' };
const unheard = { kind: 'unheard-of' };
const told: readonly Told[] = [
  [OTHER, started],
  [MINE, started],
  [OTHER, unheard],
  [MINE, handed],
  [OTHER, unheard],
];
const read = (rows: readonly LogRow[]) => readBatch(historyOf(rows), BENCH, 'wet_room', MINE);

test('facts of other batches need not be known here, and still prove that nothing is missing', async () => {
  const rows = rowsOf(told);
  const found = await read(rows);
  expect(found?.facts.map(({ kind }: Fact) => kind)).toEqual(['batch-started', 'handed-over']);
  expect(found?.head).toEqual({ seq: 5, hash: rows[4]?.hash });
  await expect(read(rows.filter(({ seq }) => seq !== 3))).rejects.toThrow(/Fact 3 .*it is missing/);
  const changed = rows.map((row) => (row.seq === 3 ? { ...row, body: row.body.replace('heard', 'seen') } : row));
  await expect(read(changed)).rejects.toThrow(/Fact 3 .*the hash does not match/);
  // A fact of this batch under the name of another one.
  const hidden = rows.map((row) => (row.seq === 4 ? { ...row, batch: OTHER } : row));
  await expect(read(hidden)).rejects.toThrow(/Fact 4 .*the column "batch" differs/);
});

test('what this version can not read of the batch itself is told, and keeps no other batch from being joined', async () => {
  const rows = rowsOf([...told, [MINE, unheard]]);
  await expect(read(rows)).rejects.toThrow(/Fact 6 .*can't be read.* Is bismar newer there\?/);
  await expect(offeredTo(historyOf(rows), 'dye_room')).rejects.toThrow(/Fact 6/);
  const two = rowsOf([...told, [MINE, unheard], [OTHER, handed]]);
  await expect(offeredTo(historyOf(two), 'dye_room')).rejects.toThrow(/Fact/);
  const third = '2026-11-25-3';
  const more = rowsOf([...told, [MINE, unheard], [third, started], [third, handed]]);
  expect((await offeredTo(historyOf(more), 'dye_room')).map(({ name }) => name)).toEqual([`wet_room/${third}`]);
});
