/**
 * A disk that is truly full, not only said to be: a small file system in memory, filled to the brim or to within a few
 * pages, while the log is written. Nothing recorded is lost, what is refused is refused in a sentence, and with room again
 * it goes on.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync, statfsSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LogTrouble } from '../../src/records/logTrouble.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { g, samplePlan, weighed } from './sampleFacts.ts';

const SEED = Number(process.env.SEED ?? 20_261_130);
const disk = mkdtempSync(join(tmpdir(), 'bismar-full-'));
const why = mounted();
afterAll(() => {
  if (why === undefined) execFileSync('umount', ['-l', disk]);
  rmSync(disk, { recursive: true, force: true });
});

/** Why there is no small disk here; undefined when there is one. */
function mounted(): string | undefined {
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', 'size=8m', 'none', disk], { stdio: 'ignore' });
    return undefined;
  } catch {
    return 'a small disk can be mounted by the super-user only';
  }
}

/** Leaves so many bytes free, or none. */
function fill(file: string, free: number): void {
  const { bavail, bsize } = statfsSync(disk);
  writeFileSync(file, new Uint8Array(Math.max(0, bavail * bsize - free)));
}

const started: Happened = { kind: 'batch-started', plan: samplePlan };

test.skipIf(why !== undefined)(`a full disk${why === undefined ? '' : ` (skipped: ${why})`}`, async () => {
  const random = seededRandom(SEED);
  const [file, filler] = [join(disk, 'batches.db'), join(disk, 'filler')];
  let log = openLog(file);
  await log.append('2026-11-25-1', 'Mara', [started]);
  let facts = 1;
  let refused = 0;
  for (let time = 0; time < 40; time++) {
    fill(filler, Math.floor(random.next() ** 2 * 40_000));
    for (let call = 0; call < 4; call++) {
      const happened = Array.from({ length: 1 + Math.floor(random.next() * 8) }, () => weighed('A1', g(55.4)));
      try {
        facts += (await log.append('2026-11-25-1', 'Mara', happened)).length;
      } catch (error) {
        if (!(error instanceof LogTrouble)) throw error;
        refused += 1;
        expect(error.message).toMatch(/^Not recorded: the disk .* is full\. All facts recorded before are safe\./);
      }
      expect(log.facts()).toHaveLength(facts);
    }
    if (random.next() < 0.3) {
      // The program ends and is started again while the disk is full.
      log.close();
      expect(verifyLog(file)).toMatchObject({ ok: true, facts });
      log = openLog(file);
    }
    truncateSync(filler, 0);
    facts += (await log.append('2026-11-25-1', 'Mara', [weighed('A1', g(55.4))])).length;
  }
  log.close();
  expect(refused).toBeGreaterThan(10);
  expect(verifyLog(file)).toMatchObject({ ok: true, facts });
});
