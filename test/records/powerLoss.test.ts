/**
 * The power fails at any moment while the log is written. What a disk then holds is worked out here: all that was synced,
 * and of what was written after it any beginning, or any of its blocks (a disk may write them in any order). Whatever it
 * is, every fact that was said to be recorded is there, none is there in part, and the log is whole.
 *
 * How SQLite's write-ahead log is laid out and recovered: sqlite.org/fileformat2.html, 4.1 to 4.4 (a header of 32 bytes,
 * then frames of 24 bytes and a page; a frame counts when its salts and its running check sums hold).
 */
import { copyFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { setImmediate as turn } from 'node:timers/promises';
import { expect, test } from 'vitest';
import { openLog } from '../../src/records/batchLog.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { sampleHappened } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

const SEED = Number(process.env.SEED ?? 20_261_130);
/** A disk writes blocks of so many bytes whole, or not at all (the smallest in use). */
const BLOCK = 512;
const LENGTHS = Number(process.env.POWER_LOSSES ?? 40);

interface Written {
  readonly file: string;
  /** Length of the journal after each call of `append`, and how many facts there were then. */
  readonly acked: readonly { readonly length: number; readonly facts: number }[];
  /** The journal as it was before it was begun anew; nothing where it was not. */
  readonly earlier: Uint8Array;
}

/** Where the frames of this journal end: those behind it, of an earlier one, have other salts. */
function endOf(journal: Buffer): number {
  const page = journal.readUInt32BE(8);
  let end = 32;
  while (journal.subarray(end + 8, end + 16).equals(journal.subarray(16, 24))) end += 24 + page;
  return end;
}

/** A log that is written in several calls, as a batch does. @param anew the journal is taken over and begun anew on the way */
async function write({ anew = false } = {}): Promise<Written & { readonly close: () => void }> {
  const file = join(tempFolder(), 'batches.db');
  const log = openLog(file);
  const happened = sampleHappened();
  const acked: { length: number; facts: number }[] = [];
  let facts = 0;
  let earlier: Uint8Array = new Uint8Array();
  for (let at = 0; at < happened.length; at += 1 + (at % 3)) {
    if (anew && earlier.length === 0 && at >= happened.length / 2) {
      const other = new DatabaseSync(file);
      other.exec('PRAGMA wal_checkpoint');
      other.close();
      earlier = readFileSync(`${file}-wal`);
      acked.length = 0; // those are in the file now
    }
    facts += (await log.append('2026-11-25-1', 'Mara', happened.slice(at, at + 1 + (at % 3)))).length;
    acked.push({ length: endOf(readFileSync(`${file}-wal`)), facts });
    // The tables beside the facts come behind them in the journal, unsynced; or they wait for the next call.
    if (at % 2 === 0) await turn();
  }
  return { file, acked, earlier, close: () => log.close() };
}

/** What was recorded before the journal had this length. */
function factsAt({ acked }: Written, length: number): number {
  return Math.max(0, ...acked.filter((each) => each.length <= length).map(({ facts }) => facts));
}

/** The disk after the power came back. */
async function found(main: string, journal: Uint8Array) {
  const file = join(tempFolder(), 'batches.db');
  copyFileSync(main, file);
  writeFileSync(`${file}-wal`, journal);
  const proof = verifyLog(file);
  const log = openLog(file);
  const facts = log.facts();
  await log.catchUp();
  log.close();
  // Only now there is something to compare the tables with, wherever they had stopped.
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: facts.length });
  return { proof, facts };
}

test(`the journal ends anywhere (SEED=${SEED})`, async () => {
  const written = await write();
  const random = seededRandom(SEED);
  const journal = readFileSync(`${written.file}-wal`);
  const whole = (await found(written.file, journal)).facts;
  expect(whole).toHaveLength(written.acked.at(-1)?.facts ?? -1);
  // Just before and after each call's end, and anywhere.
  const ends = written.acked.flatMap(({ length }) => [length - 1, length, length + 1]);
  const anywhere = Array.from({ length: LENGTHS }, () => Math.floor(random.next() * journal.length));
  const firstWhole = written.acked[0]?.length ?? 0;
  for (const length of [...ends, ...anywhere].filter((each) => each >= firstWhole && each <= journal.length)) {
    const { proof, facts } = await found(written.file, journal.subarray(0, length));
    expect(proof, `journal of ${length} bytes`).toMatchObject({ ok: true });
    expect(facts, `journal of ${length} bytes`).toEqual(whole.slice(0, factsAt(written, length)));
  }
  written.close();
});

test.each([false, true])(
  `of what was not synced yet any blocks reached the disk (SEED=${SEED}), journal begun anew: %s`,
  async (anew) => {
    const written = await write({ anew });
    expect(written.earlier.length > 0).toBe(anew);
    const random = seededRandom(SEED + 1);
    const journal = readFileSync(`${written.file}-wal`);
    const whole = (await found(written.file, journal)).facts;
    for (let time = 0; time < LENGTHS; time++) {
      const call = Math.floor(random.next() * (written.acked.length - 1));
      const [synced, next] = [written.acked[call], written.acked[call + 1]];
      if (!synced || !next) throw new Error('no call');
      // The next call was being written: each of its blocks is there, or is not yet, or holds what was there before.
      const torn = Uint8Array.from(journal.subarray(0, next.length));
      for (let at = synced.length; at < next.length; at += BLOCK) {
        if (random.next() < 0.5) continue;
        const end = Math.min(at + BLOCK, next.length);
        torn.fill(random.next() < 0.5 ? 0 : 0xa5, at, end);
        torn.set(written.earlier.subarray(at, end), at);
      }
      const isMissing = !journal.subarray(0, next.length).equals(torn);
      const { proof, facts } = await found(written.file, torn);
      expect(proof, `call ${call}`).toMatchObject({ ok: true });
      expect(facts, `call ${call}`).toEqual(whole.slice(0, isMissing ? synced.facts : next.facts));
    }
    written.close();
  },
);

test(`the power fails while the journal is taken over into the file (SEED=${SEED})`, async () => {
  const written = await write();
  const random = seededRandom(SEED + 2);
  const journal = readFileSync(`${written.file}-wal`);
  const before = readFileSync(written.file);
  const whole = (await found(written.file, journal)).facts;
  written.close(); // takes it over
  const after = readFileSync(written.file);
  expect(existsSync(`${written.file}-wal`)).toBe(false);
  for (let time = 0; time < LENGTHS / 5; time++) {
    // Any blocks of the file are new already, or torn; the journal is still there, as it goes only after the file is synced.
    const half = Uint8Array.from(after);
    for (let at = 0; at < half.length; at += BLOCK) {
      const old = before.subarray(at, at + BLOCK);
      if (random.next() < 0.5) half.set(old.length === BLOCK ? old : new Uint8Array(BLOCK), at);
    }
    const main = join(tempFolder(), 'half.db');
    writeFileSync(main, half.subarray(0, Math.max(before.length, Math.floor(random.next() * half.length))));
    const { proof, facts } = await found(main, journal);
    expect(proof).toMatchObject({ ok: true });
    expect(facts).toEqual(whole);
  }
});
