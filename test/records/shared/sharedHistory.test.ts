import { join } from 'node:path';
import fc from 'fast-check';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import { type BatchLog, openLog } from '../../../src/records/batchLog.ts';
import { FIRST_LINK, link } from '../../../src/records/chain.ts';
import { benchId, newBenchId } from '../../../src/records/shared/benchId.ts';
import { connectHistory } from '../../../src/records/shared/connect.ts';
import { HistoryTrouble } from '../../../src/records/shared/historyTrouble.ts';
import { keepSending } from '../../../src/records/shared/keepSending.ts';
import { setupSql } from '../../../src/records/shared/schema.ts';
import { agreedHead, sendAfter } from '../../../src/records/shared/send.ts';
import type { LogRow, SharedHistory } from '../../../src/records/shared/sharedHistory.ts';
import { readHistoryAddress } from '../../../src/workshop/historyAddress.ts';
import { sampleHappened } from '../sampleFacts.ts';
import { IN_MEMORY, tempFolder } from '../tempFolder.ts';
import { layCable } from './cutCable.ts';
import { hasServer, type Server, startServer } from './postgresqlServer.ts';

const ROLES = ['wet_room', 'dye_room', 'secret_room'];

describe.skipIf(!hasServer)('with a postgresql server', () => {
  let server: Server;
  beforeAll(async () => {
    server = await startServer();
    await server.owner('postgres', 'CREATE DATABASE shop');
    await server.owner('shop', setupSql(ROLES));
  }, 60_000);
  afterAll(() => server?.stop());

  const addressOf = (role: string, host = server.folder, port = server.port) => {
    const read = readHistoryAddress(`postgres://${role}@${encodeURIComponent(host)}:${port}/shop`);
    if (!read.ok) throw new Error(read.expected);
    return read.address;
  };
  const open = (role = 'wet_room') => connectHistory(addressOf(role));

  /** A bench's folder with a log in it. */
  async function newBench(happened: readonly Happened[] = sampleHappened()) {
    const folder = tempFolder(IN_MEMORY);
    const log = openLog(join(folder, 'batches.db'));
    if (happened.length > 0) await log.append('2026-11-25-1', 'Mara', happened);
    return { folder, log, bench: benchId(folder) };
  }

  async function sendAll({ log, bench }: { log: BatchLog; bench: string }, history: SharedHistory) {
    return sendAfter(log, bench, history, await agreedHead(log, bench, history));
  }

  async function there(bench: string): Promise<LogRow[]> {
    const sql = 'SELECT seq::int, batch, kind, at, "by", body, hash FROM bismar.facts WHERE bench = $1 ORDER BY seq';
    return (await server.owner('shop', sql, [bench])) as unknown as LogRow[];
  }

  async function troubleFrom(work: Promise<unknown>): Promise<HistoryTrouble> {
    const error = await work.then(
      () => undefined,
      (thrown: unknown) => thrown,
    );
    if (error instanceof HistoryTrouble) return error;
    throw new Error(`no trouble of the history: ${error}`);
  }

  test('facts arrive as they lie in the log, once, however often they are sent', async () => {
    const bench = await newBench();
    const history = await open();
    const head = await sendAll(bench, history);
    expect(head).toEqual(bench.log.seal());
    expect(await there(bench.bench)).toEqual(bench.log.rows(0, 1000));
    // From the start once more, as if nothing had been confirmed; then on from where it had come.
    await sendAfter(bench.log, bench.bench, history, null);
    await bench.log.append('2026-11-25-1', 'Mara', [{ kind: 'resumed' }]);
    await sendAll(bench, history);
    expect(await there(bench.bench)).toEqual(bench.log.rows(0, 1000));
    await history.close();
  });

  test('text of every kind arrives unchanged', async () => {
    const { log, bench } = await newBench([]);
    const odd = ['\u0000', '\ud800', 'a\\b\'c"d{e,f}', 'NULL', '', '\u202e\u{1f9fc}', '\n\r\t'];
    for (const note of odd)
      await log.append('2026-11-25-2', "M'ara \\ {x}", [{ kind: 'corrected', corrects: 1, note, reason: note }]);
    const history = await open();
    await sendAll({ log, bench }, history);
    await history.close();
    expect(await there(bench)).toEqual(log.rows(0, 100));
  });

  test('the server proves each hash, and takes no fact before the one that it follows on', async () => {
    const { log, bench } = await newBench();
    const rows = log.rows(0, 5);
    const [first, second, third] = rows as [LogRow, LogRow, LogRow];
    const history = await open();
    await history.enter(bench);
    const refused = async (wrong: LogRow[]) => (await troubleFrom(history.append(bench, wrong))).trouble;
    expect(await refused([second])).toBe('refused');
    expect(await refused([first, third])).toBe('refused');
    expect(await refused([{ ...first, body: first.body.replace('Mara', 'Jo') }])).toBe('refused');
    expect(await refused([first, { ...second, hash: link(FIRST_LINK, second.body) }])).toBe('refused');
    expect(await there(bench)).toEqual([]);
    await history.append(bench, [first, second]);
    const other = { ...second, body: second.body.replace('Mara', 'Jo') };
    expect(await refused([{ ...other, hash: link(first.hash, other.body) }])).toBe('refused');
    expect(await there(bench)).toEqual([first, second]);
    await history.close();
  });

  test('a bench appends its own facts alone, and changes none', async () => {
    const wet = await newBench();
    const history = await open();
    await sendAll(wet, history);
    await history.close();
    const dye = new pg.Client({ host: server.folder, port: server.port, user: 'dye_room', database: 'shop' });
    await dye.connect();
    const code = (sql: string, values: unknown[] = []) =>
      dye.query(sql, values).then(
        () => 'done',
        (error: { code?: string }) => error.code,
      );
    await wet.log.append('2026-11-25-1', 'Mara', [{ kind: 'resumed' }]);
    const next = wet.log.rows((await there(wet.bench)).length, 1)[0] as LogRow;
    const { seq, batch, kind, at, by, body, hash } = next;
    const insert =
      'INSERT INTO bismar.facts (bench, seq, batch, kind, at, "by", body, hash) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)';
    const denied = '42501'; // insufficient_privilege: also what a policy of a row says
    expect(await code(insert, [wet.bench, seq, batch, kind, at, by, body, hash])).toBe(denied);
    expect(await code("UPDATE bismar.facts SET body = '{}'")).toBe(denied);
    expect(await code('DELETE FROM bismar.facts')).toBe(denied);
    expect(await code('TRUNCATE bismar.facts')).toBe(denied);
    expect(await code("INSERT INTO bismar.benches (bench, role) VALUES (gen_random_uuid(), 'wet_room')")).toBe(denied);
    expect(await code("UPDATE bismar.benches SET role = 'dye_room'")).toBe(denied);
    expect(await code('DELETE FROM bismar.benches')).toBe(denied);
    expect(await code('ALTER TABLE bismar.facts DISABLE TRIGGER ALL')).toBe(denied);
    expect(await code('CREATE TABLE bismar.mine (x int)')).toBe(denied);
    expect(await code('INSERT INTO bismar.version (version) VALUES (99)')).toBe(denied);
    // Its own it may; and it reads all.
    expect(await code('INSERT INTO bismar.benches (bench) VALUES (gen_random_uuid())')).toBe('done');
    expect((await dye.query('SELECT 1 FROM bismar.facts WHERE bench = $1', [wet.bench])).rowCount).toBe(seq - 1);
    await dye.end();
    // Not even the database's owner changes a fact by mistake.
    await expect(server.owner('shop', 'DELETE FROM bismar.facts')).rejects.toMatchObject({ code: 'BM004' });
    await expect(server.owner('shop', 'TRUNCATE bismar.facts')).rejects.toMatchObject({ code: 'BM004' });
    expect(await there(wet.bench)).toHaveLength(seq - 1);
  });

  test('a copied folder is refused as soon as the two logs differ, and sends as a bench of its own after that', async () => {
    const one = await newBench();
    const history = await open();
    await sendAll(one, history);
    const copy = { ...(await newBench([])), bench: one.bench };
    for (const { batch, by, body } of one.log.rows(0, 1000)) {
      const { batch: _b, seq: _s, at: _a, by: _w, ...happened } = JSON.parse(body);
      await copy.log.append(batch, by, [happened]);
    }
    await copy.log.append('2026-11-26-1', 'Jo', [{ kind: 'resumed' }]);
    const trouble = await troubleFrom(sendAll(copy, history));
    expect(trouble.trouble).toBe('refused');
    expect(trouble.message).toMatch(/another fact \d+ of this bench.*weights are safe here.*shared anew/i);
    // An older copy of its own log: the history has more than the bench itself.
    const older = { ...(await newBench(sampleHappened().slice(0, 3))), bench: one.bench };
    expect((await troubleFrom(sendAll(older, history))).message).toMatch(
      /has \d+ facts of this bench, and its own log only 3/,
    );
    const anew = newBenchId(copy.folder);
    expect(anew).not.toBe(one.bench);
    expect(benchId(copy.folder)).toBe(anew);
    await sendAll({ ...copy, bench: anew }, history);
    expect(await there(anew)).toEqual(copy.log.rows(0, 1000));
    expect(await there(one.bench)).toEqual(one.log.rows(0, 1000));
    await history.close();
  });

  test('the id of a bench belongs to the role that entered it', async () => {
    const bench = await newBench();
    const history = await open();
    await sendAll(bench, history);
    await history.close();
    const other = await open('dye_room');
    expect((await troubleFrom(sendAll(bench, other))).message).toMatch(/under another role, wet_room/);
    await other.close();
  });

  test('setting up again keeps what is there; a newer one is left alone', async () => {
    const bench = await newBench();
    const history = await open();
    await sendAll(bench, history);
    await history.close();
    await server.owner('shop', setupSql(['wet_room', 'third_room']));
    expect(await there(bench.bench)).toEqual(bench.log.rows(0, 1000));
    await server.owner('postgres', 'CREATE DATABASE later');
    await server.owner('later', setupSql(ROLES));
    await server.owner('later', 'INSERT INTO bismar.version (version) VALUES (2)');
    await expect(server.owner('later', setupSql(ROLES))).rejects.toThrow(/newer bismar/);
    const at = (database: string) => connectHistory({ ...addressOf('wet_room'), database });
    expect((await troubleFrom(at('later'))).trouble).toBe('newer');
    expect((await troubleFrom(at('postgres'))).message).toMatch(/no shared history yet.*shared setup/);
    expect((await troubleFrom(at('nowhere'))).trouble).toBe('login');
  });

  test('the password comes from the environment, never from the address', async () => {
    await server.owner(
      'shop',
      "SET password_encryption = 'scram-sha-256'; ALTER ROLE secret_room PASSWORD 'three words long'",
    );
    const { PGPASSWORD, PGPASSFILE } = process.env;
    try {
      process.env.PGPASSFILE = join(tempFolder(), 'none');
      delete process.env.PGPASSWORD;
      expect((await troubleFrom(open('secret_room'))).message).toMatch(/PGPASSWORD or the passfile/);
      process.env.PGPASSWORD = 'wrong';
      expect((await troubleFrom(open('secret_room'))).trouble).toBe('login');
      process.env.PGPASSWORD = 'three words long';
      await (await open('secret_room')).close();
    } finally {
      for (const [name, value] of Object.entries({ PGPASSWORD, PGPASSFILE })) {
        if (value === undefined) delete process.env[name];
        else process.env[name] = value;
      }
    }
  });

  test('over a network the connection is encrypted, with a server that proves its name', async () => {
    const over = { ...addressOf('wet_room', 'localhost'), encrypted: true };
    await (await connectHistory({ ...over, authority: server.certificate })).close();
    const refused = async (address: typeof over) => (await troubleFrom(connectHistory(address))).message;
    // Signed by nobody that the system trusts; signed, but for another name; and a server that can't encrypt at all.
    expect(await refused(over)).toMatch(/^No connection.*(self.signed|verify)/);
    expect(await refused({ ...over, host: '127.0.0.1', authority: server.certificate })).toMatch(/127\.0\.0\.1.*cert/);
    expect(await refused({ ...addressOf('wet_room'), encrypted: true })).toMatch(/does not support SSL/);
    expect(await refused({ ...over, authority: join(tempFolder(), 'none.pem') })).toMatch(/No connection.*none\.pem/);
    expect(await refused({ ...over, encrypted: false })).toMatch(/no pg_hba\.conf entry|does not let this bench in/);
  });

  test('however often the connection is cut, in the end the server has exactly the facts of the bench', async () => {
    const cable = await layCable(server.socket);
    /** Facts that had arrived although the bench had heard nothing of it. */
    let unheard = 0;
    const soon = {
      now: () => performance.now(),
      setTimeout: (run: () => void) => setTimeout(run, 1),
      clearTimeout: (timer: unknown) => clearTimeout(timer as NodeJS.Timeout),
    };
    const small: Happened[] = sampleHappened().filter(({ kind }) => kind !== 'batch-started');
    // A page of facts is long, the server's answers are short.
    const cut = fc.oneof(
      {
        weight: 1,
        arbitrary: fc.record({
          sentBy: fc.constantFrom('bench' as const, 'server' as const),
          since: fc.constant('connecting' as const),
          bytes: fc.integer({ min: 0, max: 900 }),
        }),
      },
      {
        weight: 2,
        arbitrary: fc.record({
          sentBy: fc.constant('bench' as const),
          since: fc.constant('sending' as const),
          bytes: fc.integer({ min: 0, max: 9_000 }),
        }),
      },
      {
        weight: 2,
        arbitrary: fc.record({
          sentBy: fc.constant('server' as const),
          since: fc.constant('sending' as const),
          bytes: fc.integer({ min: 0, max: 80 }),
        }),
      },
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(cut, { minLength: 4, maxLength: 10 }),
        fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 6 }),
        async (cutsAt, sizes) => {
          const { log, bench } = await newBench([]);
          const left = [...cutsAt];
          cable.cutAfter(() => left.shift());
          let lost: number | undefined;
          const sending = keepSending({
            log,
            bench: () => bench,
            clock: soon,
            now: () => new Date(),
            connect: async (signal) => {
              const history = await connectHistory(addressOf('wet_room', '127.0.0.1', cable.port), signal);
              return {
                ...history,
                async head(of) {
                  const head = await history.head(of);
                  if (lost !== undefined && (head?.seq ?? 0) >= lost) unheard += 1;
                  lost = undefined;
                  return head;
                },
                append(of, rows) {
                  cable.sending();
                  return history.append(of, rows).catch((error) => {
                    lost = rows.at(-1)?.seq;
                    throw error;
                  });
                },
              };
            },
          });
          for (const size of sizes) {
            const facts = Array.from({ length: size }, (_, index) => small[index % small.length] as Happened);
            await log.append('2026-11-25-1', 'Mara', facts);
            await new Promise((resolve) => setTimeout(resolve, 3));
          }
          while (sending.state().waiting !== 0) await new Promise((resolve) => setTimeout(resolve, 2));
          await sending.stop();
          expect(await there(bench)).toEqual(log.rows(0, 1000));
          log.close();
        },
      ),
      { numRuns: 10 },
    );
    await cable.close();
    expect(cable.cuts).toBeGreaterThan(15);
    expect(unheard).toBeGreaterThan(0);
  });
});
