import { join } from 'node:path';
import { expect, test } from 'vitest';
import { openLog } from '../../src/records/batchLog.ts';
import { earlierPours } from '../../src/records/earlierPours.ts';
import { MOST_POURS } from '../../src/signal/afterRun.ts';
import { MOST_STEPS } from '../../src/signal/lag.ts';
import { g, samplePlan, weighed } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const draws = samplePlan.tasks.filter((task) => task.kind === 'draw');
const [first, second] = [draws[0]?.id ?? '', draws.find(({ scale }) => scale !== draws[0]?.scale)?.id ?? ''];
const stop = (ended: number) => ({ flow: 2_000_000, arrived: g(90), briskest: 9_000_000, ended: g(ended) });

async function someLog() {
  const log = openLog(join(tempFolder(), 'batches.db'));
  await log.append('2026-11-24-1', 'Mara', [
    { kind: 'batch-started', plan: samplePlan },
    weighed(first, g(92), { pour: { lagMs: 310, stop: stop(92) } }),
    weighed(second, g(1), { pour: { lagMs: 480, stop: null } }),
    weighed(first, g(93), {}),
  ]);
  return log;
}

test('what a pour left in the log is read back whole, by scale and by ingredient', async () => {
  const log = await someLog();
  const { lags, pours } = earlierPours(log);
  expect(lags).toEqual({ [draws[0]?.scale ?? '']: [310], [draws.find(({ id }) => id === second)?.scale ?? '']: [480] });
  expect(pours).toEqual({ [draws[0]?.ingredient ?? '']: [stop(92)] });
});

test('only the last facts are looked at, and only the last pours kept', async () => {
  const log = await someLog();
  const many = Array.from({ length: MOST_POURS + 5 }, (_, index) =>
    weighed(first, g(92), { pour: { lagMs: null, stop: stop(100 + index) } }),
  );
  await log.append('2026-11-25-1', 'Mara', [{ kind: 'batch-started', plan: samplePlan }, ...many]);
  const ended = Object.values(earlierPours(log).pours)
    .flat()
    .map((pour) => pour.ended);
  expect(ended).toHaveLength(MOST_POURS);
  expect(ended.at(-1)).toBe(g(100 + MOST_POURS + 4));
  expect(Object.values(earlierPours(log, 3).pours).flat()).toHaveLength(3);
  expect(earlierPours(log, 3).lags).toEqual({});
});

test('whoever has enough looks no further', async () => {
  const log = await someLog();
  const many = Array.from({ length: MOST_POURS }, (_, index) =>
    weighed(first, g(92), { pour: { lagMs: 200 + index, stop: stop(100 + index) } }),
  );
  await log.append('2026-11-25-1', 'Mara', [{ kind: 'batch-started', plan: samplePlan }, ...many]);
  const { scale = '', ingredient = '' } = draws[0] ?? {};
  let seen = 0;
  const counted = {
    *latest(...asked: Parameters<typeof log.latest>) {
      for (const fact of log.latest(...asked)) {
        seen += 1;
        yield fact;
      }
    },
  };
  const all = earlierPours(log);
  const enough = earlierPours(counted, 5000, { scales: [scale], ingredients: [ingredient] });
  expect(seen).toBe(Math.max(MOST_POURS, MOST_STEPS));
  expect(enough).toEqual({ lags: { [scale]: all.lags[scale] }, pours: all.pours });
  // The look is over, and the log goes on.
  await log.append('2026-11-25-1', 'Mara', [weighed(first, g(93), {})]);
  expect(() => log.close()).not.toThrow();
});

test('an empty log teaches nothing', () => {
  expect(earlierPours(openLog(join(tempFolder(), 'batches.db')))).toEqual({ lags: {}, pours: {} });
});
