/** A batch that is weighed while the server of its shared history is away: nothing of it changes, and nothing waits. */
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { createMadeUpBench } from '../../../src/cli/demo/madeUpBench.ts';
import { work } from '../../../src/cli/demo/maker.ts';
import { createPacedClock } from '../../../src/cli/demo/pacedClock.ts';
import { startSharing } from '../../../src/cli/shared/sharing.ts';
import { runWorkbench } from '../../../src/cli/weigh/workbench.ts';
import { stateOf } from '../../../src/facts/apply.ts';
import { findProfile } from '../../../src/link/findProfile.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { HistoryTrouble } from '../../../src/records/shared/historyTrouble.ts';
import type { LogRow, SharedHistory } from '../../../src/records/shared/sharedHistory.ts';
import { readHistoryAddress } from '../../../src/workshop/historyAddress.ts';
import { demo, formulaFrom, planOf } from '../../plan/fixtures.ts';
import { IN_MEMORY, tempFolder } from '../../records/tempFolder.ts';

const read = readHistoryAddress('postgres://wet_room@localhost/shop');
const address = read.ok ? read.address : undefined;
const START = Date.parse('2026-11-25T09:00:00.000Z');

const FORMULA = `
name: Two things
version: 1
batch: 300 g
phases:
  - phase: A
    name: All
    vessel: mixing-bowl
    work:
      - {draw: glycerin, share: 99 %, band: 2 %}
      - {draw: lavender-oil, share: 1 %, band: 5 %}
`;

type Connect = (signal: AbortSignal) => Promise<SharedHistory>;

/** Weighs a small batch by itself in virtual time. @returns its log, and what was said of the history at the foot */
async function weigh(connect?: Connect) {
  // A scale that falls asleep meanwhile is a matter of other tests.
  const scales = new Map([...demo.scales].map(([id, scale]) => [id, { ...scale, sleepsAfterMs: undefined }] as const));
  const workshop = { ...demo, scales };
  const clock = createPacedClock();
  const plan = planOf(workshop, formulaFrom(FORMULA, workshop));
  const devices = new URL('../../../devices', import.meta.url).pathname;
  const ids = [...new Set([...workshop.scales.values()].flatMap(({ profile }) => profile ?? []))];
  const profiles = new Map(
    await Promise.all(
      ids.map(async (id) => {
        const found = await findProfile(id, [devices]);
        if (!found.ok) throw new Error(id);
        return [id, found.profile] as const;
      }),
    ),
  );
  const bench = createMadeUpBench({ workshop, profiles, clock, seed: 3 });
  const folder = tempFolder(IN_MEMORY);
  const log = openLog(join(folder, 'batches.db'), { now: () => new Date(START + clock.now()) });
  const begun = await log.append('2026-11-25-1', 'Mara', [{ kind: 'batch-started', plan }]);
  await bench.start();
  const sharing = connect && address && startSharing(address, { folder, log, clock, connect });
  const said: string[] = [];
  sharing?.tell((line) => said.push(line));
  const run = runWorkbench({
    batch: stateOf(begun),
    scales: bench.scales,
    log,
    by: 'Mara',
    clock,
    openFront: ({ station, leave }) => ({
      changed: () => void (station.snapshot().status === 'done' && leave()),
      live() {},
      facts() {},
      async close() {},
    }),
    alongside: (station) => {
      let over = false;
      const mishaps = { extra: () => 0, during: async () => {}, stays: () => false, tell() {} };
      void work({ station, bench, clock, mishaps, isOver: () => over });
      return () => {
        over = true;
      };
    },
  });
  const { ended } = await clock.run(run, Number.POSITIVE_INFINITY);
  await bench.stop();
  const stopped = sharing && (await clock.run(sharing.stop(), Number.POSITIVE_INFINITY));
  return { log, ended, said, stopped };
}

test('with the server away or dumb a batch is weighed to its end, each fact at the very moment as without one', async () => {
  const alone = await weigh();
  expect(alone.ended).toBe('finished');
  expect(alone.log.facts().filter(({ kind }) => kind === 'weighed').length).toBeGreaterThan(1);
  const away = await weigh(async () => {
    throw new HistoryTrouble('away', 'No connection.');
  });
  // It takes the call and never says a word.
  const dumb = await weigh(
    (signal) => new Promise((_, reject) => signal.addEventListener('abort', () => reject(signal.reason))),
  );
  for (const { log, ended } of [away, dumb]) {
    expect(ended).toBe('finished');
    expect(log.rows(0, 1000)).toEqual(alone.log.rows(0, 1000));
  }
  expect(away.said[0]).toMatch(/^Facts are not sent yet: no connection to the shared history since \d\d:\d\d\.$/);
  expect(away.stopped).toMatch(/safe here, and go with the next batch or by `bismar shared send`/);
  expect(dumb.stopped).toMatch(/They are safe here/);
});

test('with the server there all facts have arrived when the maker leaves, and nothing is said', async () => {
  const rows: LogRow[] = [];
  const { log, said, stopped } = await weigh(async () => ({
    enter: async () => {},
    head: async () => null,
    append: async (_, sent) => void rows.push(...sent),
    benches: async () => [],
    facts: async () => [],
    placeOf: async () => null,
    ofKind: async () => [],
    close: async () => {},
  }));
  expect(rows).toEqual(log.rows(0, 1000));
  expect([said, stopped]).toEqual([[], undefined]);
});
