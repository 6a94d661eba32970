import { join } from 'node:path';
import { expect, test } from 'vitest';
import type { CheckRow } from '../../src/accept/scaleCheck.ts';
import { type Happened, SCALES } from '../../src/facts/fact.ts';
import { type Mass, ZERO } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { lastCheck, scalesStand } from '../../src/records/lastChecks.ts';
import { resolveBatch } from '../../src/records/resolveBatch.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { g, samplePlan } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const series: CheckRow[] = Array.from({ length: 5 }, () => {
  return { kind: 'repeat', nominal: g(50), shown: g(50), permissible: g(0.02) };
});

function checked(scale: string, passed: boolean, repeatability: Mass | null): Happened {
  return { kind: 'scale-checked', scale, basis: 'invented', rows: series, repeatability, slopePpm: 150, passed };
}

async function someLog(file: string) {
  let now = Date.UTC(2026, 10, 24, 8, 0, 0);
  const log = openLog(file, { now: () => new Date(now) });
  await log.append(SCALES, 'Mara', [checked('fine', true, g(0.004)), checked('bench', true, null)]);
  await log.append('2026-11-24-1', 'Mara', [{ kind: 'batch-started', plan: samplePlan }]);
  now += 86_400_000;
  await log.append(SCALES, 'Mara', [checked('fine', false, ZERO)]);
  return log;
}

test('the newest check of each scale counts, and one that never was is said', async () => {
  const log = await someLog(join(tempFolder(), 'batches.db'));
  expect(['fine', 'bench', 'third'].map((scale) => lastCheck(log, scale)?.passed)).toEqual([false, true, undefined]);
  const stated = { repeatability: g(0.05) };
  const at = (scale: string) => lastCheck(log, scale)?.at;
  expect(at('fine')).not.toBe(at('bench'));
  expect(scalesStand(log, { fine: stated, bench: stated, third: stated })).toEqual({
    kind: 'scales-stand',
    scales: {
      fine: { checkedAt: at('fine'), passed: false, slopePpm: 150, repeatability: 0, weighings: 5 },
      bench: { checkedAt: at('bench'), passed: true, slopePpm: 150, repeatability: null },
      third: { checkedAt: null, passed: null, slopePpm: null, repeatability: null },
    },
  });
  log.close();
});

test('how many were weighed goes with what the series found, and so does the standard uncertainty of the slope', async () => {
  const log = openLog(join(tempFolder(), 'batches.db'));
  await log.append(SCALES, 'Mara', [{ ...checked('fine', true, g(0.01)), slopeStandardPpm: 60 } as Happened]);
  expect(scalesStand(log, { fine: {} })).toMatchObject({
    scales: { fine: { repeatability: g(0.01), weighings: 5, slopePpm: 150, slopeStandardPpm: 60 } },
  });
  log.close();
});

test('checks are no batch: not in the list, not resumed, no number taken, and the chain of hashes holds', async () => {
  const file = join(tempFolder(), 'batches.db');
  const log = await someLog(file);
  expect(log.batches().map(({ id }) => id)).toEqual(['2026-11-24-1']);
  expect(resolveBatch(log.batches(), undefined)).toMatchObject({ ok: true, batch: { id: '2026-11-24-1' } });
  expect(resolveBatch(log.batches(), SCALES)).toMatchObject({ ok: false });
  expect(log.newBatchId('2026-11-24')).toBe('2026-11-24-2');
  expect(log.facts(SCALES)).toHaveLength(3);
  expect(log.facts('2026-11-24-1')).toHaveLength(1);
  log.close();
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: 4 });
});
