import { readFileSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import type { Fact } from '../../src/facts/fact.ts';
import { mass } from '../../src/mass/mass.ts';
import { openLog, type Seal } from '../../src/records/batchLog.ts';
import { link } from '../../src/records/chain.ts';
import { SCHEMA } from '../../src/records/logFile.ts';
import { LogTrouble } from '../../src/records/logTrouble.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { sampleHappened } from './sampleFacts.ts';
import { tempFolder } from './tempFolder.ts';

let whole: Buffer;
let facts: readonly Fact[];
let seal: Seal;

beforeAll(async () => {
  const file = join(tempFolder(), 'batches.db');
  const log = openLog(file);
  await log.append('2026-11-25-1', 'Mara', sampleHappened());
  await log.append('2026-11-25-2', 'Jo', sampleHappened());
  facts = log.facts();
  seal = log.seal() ?? { seq: 0, hash: '' };
  log.close();
  whole = readFileSync(file);
});

function copy(): string {
  const file = join(tempFolder(), 'batches.db');
  writeFileSync(file, whole);
  return file;
}

/** Changes the file behind the log's back, and puts the guards back so that they don't give it away. */
function tamper(file: string, ...statements: readonly string[]): void {
  const db = new DatabaseSync(file, { defensive: false });
  for (const guard of ['facts_stay', 'facts_remain', 'facts_in_order']) db.exec(`DROP TRIGGER ${guard}`);
  for (const statement of statements) db.exec(statement);
  for (const guard of ['facts_in_order', 'facts_stay', 'facts_remain']) db.exec(SCHEMA[guard] ?? '');
  db.close();
}

const anySeq = () => fc.integer({ min: 1, max: facts.length });

test('a whole log is proven whole, with its last hash', () => {
  expect(verifyLog(copy())).toEqual({
    ok: true,
    facts: facts.length,
    lastHash: seal.hash,
    damages: [],
    factsWhole: true,
    wholeUpTo: facts.length,
    notes: [],
    caveat: expect.stringContaining('compare the last hash'),
  });
  expect(verifyLog(copy(), seal).ok).toBe(true);
});

test('tables that are behind, or can not be made, are told and are no damage', async () => {
  const file = copy();
  const db = new DatabaseSync(file);
  db.exec('UPDATE stock_upto SET seq = seq - 3');
  db.close();
  expect(verifyLog(file)).toMatchObject({
    ok: true,
    damages: [],
    notes: [expect.stringMatching(/^Stock, kept .* is behind by 3 of \d+ facts\. Nothing is lost/)],
  });
  // As a log of before amounts were looked at may hold: two weights, each of which can be counted, but not both.
  const large = openLog(file);
  const most = mass(Number.MAX_SAFE_INTEGER);
  const [first] = sampleHappened().filter((each) => each.kind === 'weighed');
  if (first?.kind !== 'weighed') throw new Error('no weight');
  const heavy = { ...first, net: most, takenBack: mass(0) };
  await large.append('2026-11-25-2', 'Jo', [heavy, heavy]);
  large.close();
  expect(verifyLog(file)).toMatchObject({
    ok: true,
    notes: [
      expect.stringMatching(/^Stock can't be counted from the facts: .*more than 9,007 t.*The facts are whole/),
      expect.stringMatching(/^Traces of batches can't be counted from the facts/),
    ],
  });
});

test('an empty log is whole, and none at all is told', () => {
  const file = join(tempFolder(), 'batches.db');
  expect(() => verifyLog(file)).toThrow(LogTrouble);
  openLog(file).close();
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: 0, lastHash: null });
});

test('a log that is being written to can be verified', async () => {
  const file = copy();
  const log = openLog(file);
  await log.append('2026-11-25-2', 'Jo', [{ kind: 'resumed' }]);
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: facts.length + 1 });
  log.close();
});

test('any column of any fact, changed: found at its place, and only there', () => {
  const change = fc.constantFrom(
    `batch = batch || 'x'`,
    `kind = 'finished' || kind`,
    `at = replace(at, ':', '.')`,
    `"by" = 'someone else'`,
    `body = replace(body, '"by":"', '"by":"x')`,
    `body = body || ' '`,
    `body = '{'`,
    `body = ''`,
    `hash = lower(hex(randomblob(32)))`,
  );
  fc.assert(
    fc.property(anySeq(), change, (seq, set) => {
      const file = copy();
      tamper(file, `UPDATE facts SET ${set} WHERE seq = ${seq}`);
      const { ok, damages } = verifyLog(file);
      expect(ok).toBe(false);
      expect(new Set(damages.map((damage) => damage.seq))).toEqual(new Set([seq]));
    }),
    { numRuns: 60 },
  );
});

test('a mass that was changed in body and hash alike is found at the next fact, or by the printed hash', () => {
  const target = facts.find((fact) => fact.kind === 'weighed')?.seq ?? 0;
  const { body, hash } = rehashed(target);
  const file = copy();
  tamper(file, `UPDATE facts SET body = '${body.replaceAll("'", "''")}', hash = '${hash}' WHERE seq = ${target}`);
  expect(verifyLog(file).damages).toEqual([
    { seq: target + 1, what: expect.stringContaining('the hash does not match') },
  ]);
});

function rehashed(seq: number): { body: string; hash: string } {
  const file = copy();
  const db = new DatabaseSync(file);
  const before = db.prepare('SELECT hash FROM facts WHERE seq = ?').get(seq - 1);
  const row = db.prepare('SELECT body FROM facts WHERE seq = ?').get(seq);
  db.close();
  const body = String(row?.body).replace('"takenBack":0', '"takenBack":1');
  return { body, hash: link(String(before?.hash), body) };
}

test('a removed fact in the middle is a gap', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: facts.length - 1 }), (seq) => {
      const file = copy();
      tamper(file, `DELETE FROM facts WHERE seq = ${seq}`);
      expect(verifyLog(file)).toMatchObject({
        ok: false,
        damages: [{ seq: seq + 1, what: `fact ${seq} is missing before this one, so its hash can't be checked` }],
      });
    }),
    { numRuns: 15 },
  );
});

test('a removed fact whose place was closed up is found', () => {
  const file = copy();
  tamper(
    file,
    'DELETE FROM facts WHERE seq = 10',
    `UPDATE facts SET seq = seq - 1, body = replace(body, '"seq":' || seq || ',', '"seq":' || (seq - 1) || ',') WHERE seq > 10`,
  );
  expect(verifyLog(file)).toMatchObject({ ok: false, damages: [{ seq: 10 }, ...Array(facts.length - 11).fill({})] });
});

test('two facts that changed places are found', () => {
  const file = copy();
  const swap = (column: string) =>
    `UPDATE facts SET ${column} = (SELECT o.${column} FROM facts o WHERE o.seq = 9 - facts.seq) WHERE seq IN (4, 5)`;
  const db = new DatabaseSync(file);
  db.exec('CREATE TABLE o AS SELECT * FROM facts');
  db.close();
  const fromCopy = (column: string) => swap(column).replace('FROM facts o', 'FROM o');
  tamper(file, ...['kind', 'at', 'body', 'hash'].map(fromCopy), 'DROP TABLE o');
  const places = verifyLog(file).damages.map((damage) => damage.seq);
  expect(places).toContain(4);
  expect(places).toContain(5);
});

test('facts cut off at the end are found by the printed hash, as is a chain written anew', () => {
  const file = copy();
  tamper(file, `DELETE FROM facts WHERE seq > ${seal.seq - 2}`);
  expect(verifyLog(file)).toMatchObject({ ok: true, facts: seal.seq - 2 }); // by itself it can't know
  expect(verifyLog(file, seal)).toMatchObject({ ok: false, damages: [{ seq: seal.seq }] });
  expect(verifyLog(copy(), { seq: seal.seq, hash: 'f'.repeat(64) })).toMatchObject({
    ok: false,
    damages: [{ seq: seal.seq, what: 'the hash differs from the printed one' }],
  });
});

test.each([
  ['a guard removed', 'DROP TRIGGER facts_stay', 'facts_stay'],
  ['an index removed', 'DROP INDEX one_start', 'one_start'],
  ['something added', 'CREATE TABLE notes (x)', 'notes'],
  [
    'a guard that does nothing',
    'DROP TRIGGER facts_stay; CREATE TRIGGER facts_stay BEFORE UPDATE ON facts BEGIN SELECT 1; END',
    'was changed',
  ],
])('%s is told', (_what, statement, word) => {
  const file = copy();
  const db = new DatabaseSync(file);
  db.exec(statement);
  db.close();
  expect(verifyLog(file)).toMatchObject({ ok: false, damages: [{ seq: null, what: expect.stringContaining(word) }] });
});

/** Whether a file still gives exactly the facts that were recorded. */
function unchanged(file: string): boolean {
  const log = openLog(file, { readOnly: true });
  const same = JSON.stringify(log.facts()) === JSON.stringify(facts);
  log.close();
  return same;
}

test('damaged bytes anywhere: never a crash; either told, or nothing of the facts was touched', () => {
  let told = 0;
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: whole.length - 1 }), fc.integer({ min: 1, max: 255 })), {
        minLength: 1,
        maxLength: 4,
      }),
      (hits) => {
        const file = copy();
        const bytes = Buffer.from(whole);
        for (const [offset, flip] of hits) bytes[offset] = (bytes[offset] ?? 0) ^ flip;
        writeFileSync(file, bytes);
        const found = outcome(file);
        if (found === 'damaged') told += 1;
        else expect(unchanged(file)).toBe(true);
      },
    ),
    { numRuns: 200 },
  );
  expect(told).toBeGreaterThan(50);
});

test('a broken page of the tables beside the facts is told, and that the facts are whole', () => {
  const file = copy();
  const db = new DatabaseSync(file);
  const { page } = db.prepare(`SELECT rootpage AS page FROM sqlite_schema WHERE name = 'stock_moves'`).get() ?? {};
  const { size } = db.prepare('SELECT page_size AS size FROM pragma_page_size').get() ?? {};
  db.close();
  const bytes = Uint8Array.from(whole);
  bytes.fill(0xa5, (Number(page) - 1) * Number(size), Number(page) * Number(size));
  writeFileSync(file, bytes);
  const { ok, facts: read, lastHash, damages } = verifyLog(file);
  expect({ ok, read, lastHash }).toEqual({ ok: false, read: facts.length, lastHash: seal.hash });
  expect(damages).toEqual([{ seq: null, what: expect.stringMatching(/^the file is damaged: /) }]);
});

test('every byte of the file header', () => {
  for (let offset = 0; offset < 100; offset++) {
    for (const flip of [0x01, 0x80, 0xff]) {
      const file = copy();
      const bytes = Buffer.from(whole);
      bytes[offset] = (bytes[offset] ?? 0) ^ flip;
      writeFileSync(file, bytes);
      if (outcome(file) === 'whole') expect(unchanged(file), `offset ${offset}`).toBe(true);
    }
  }
});

test('a file cut off anywhere', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: whole.length - 1 }), (length) => {
      const file = copy();
      truncateSync(file, length);
      expect(outcome(file)).toBe('damaged');
    }),
    { numRuns: 50 },
  );
});

function outcome(file: string): 'whole' | 'damaged' {
  try {
    const { ok, damages } = verifyLog(file);
    expect(ok).toBe(damages.length === 0);
    return ok ? 'whole' : 'damaged';
  } catch (error) {
    if (!(error instanceof LogTrouble)) throw error;
    return 'damaged'; // the header now says that a newer bismar wrote it
  }
}
