/** The shared history on a PostgreSQL server: one connection, which says when it is gone and is not mended here. */
import { readFileSync } from 'node:fs';
import { Socket } from 'node:net';
import { type ConnectionOptions, checkServerIdentity } from 'node:tls';
import pg from 'pg';
import pgpass from 'pgpass';
import type { HistoryAddress } from '../../workshop/historyAddress.ts';
import { HistoryTrouble, historyTroubleOf, TWO_BENCHES, wordsOf } from './historyTrouble.ts';
import { SHARED_VERSION } from './schema.ts';
import type { KnownBench, LogRow, SharedHistory } from './sharedHistory.ts';

/** A server that says nothing for so long is away, milliseconds. */
const ANSWER_MS = 10_000;
const CLOSE_MS = 500;

type Row = Readonly<Record<string, unknown>>;

const INSERT = `INSERT INTO bismar.facts (bench, seq, batch, kind, at, "by", body, hash)
  SELECT $1::uuid, seq, batch, kind, at, "by", body, hash
  FROM unnest($2::bigint[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[], $8::text[])
    AS sent (seq, batch, kind, at, "by", body, hash) ORDER BY seq`;
const BENCHES = `SELECT bench::text, role::text, to_json(since) #>> '{}' AS since,
    (SELECT coalesce(max(seq), 0) FROM bismar.facts f WHERE f.bench = b.bench)::text AS facts
  FROM bismar.benches b ORDER BY b.since, b.bench`;
// By the number itself: `seq` alone would be the text that is handed over, and "99" comes after "100".
const HEAD = 'SELECT f.seq::text, f.hash FROM bismar.facts f WHERE f.bench = $1 ORDER BY f.seq DESC LIMIT 1';
const FACTS = `SELECT f.seq::text, f.batch, f.kind, f.at, f."by", f.body, f.hash FROM bismar.facts f
  WHERE f.bench = $1 AND f.seq > $2 ORDER BY f.seq LIMIT $3`;
const PLACE = 'SELECT min(f.seq)::text AS seq FROM bismar.facts f WHERE f.bench = $1 AND f.batch = $2';
const OF_KIND = `SELECT f.seq::text, f.batch, f.kind, f.at, f."by", f.body, f.hash FROM bismar.facts f
  WHERE f.bench = $1 AND f.kind = $2 AND f.seq > $3 ORDER BY f.seq`;

/**
 * Connects, and looks whether the database is a shared history that this version knows.
 * The password is that of the environment (PGPASSWORD), else that of the passfile (PGPASSFILE, ~/.pgpass).
 * @param signal gives up at once, also while no answer has come yet
 * @throws HistoryTrouble
 */
export async function connectHistory(address: HistoryAddress, signal?: AbortSignal): Promise<SharedHistory> {
  const { role: user, host, port, database } = address;
  let client: pg.Client | undefined;
  const socket = new Socket();
  const giveUp = () => socket.destroy();
  try {
    signal?.throwIfAborted();
    signal?.addEventListener('abort', giveUp);
    client = new pg.Client({
      host,
      port,
      user,
      database,
      password: () => passwordFor({ host, port, user, database }),
      ssl: address.encrypted ? encryption(address) : false,
      application_name: 'bismar',
      stream: () => socket,
      keepAlive: true,
      connectionTimeoutMillis: ANSWER_MS,
      query_timeout: ANSWER_MS,
    });
    // A lost connection also fails the question that is open, or the next one: it is told there.
    client.on('error', () => {});
    await client.connect();
    await checkVersion(client);
    return overClient(client, giveUp);
  } catch (error) {
    socket.destroy();
    throw historyTroubleOf(error);
  }
}

/** The name in the certificate must be that of the address, also where that is no name but a number. */
function encryption({ host, authority }: HistoryAddress): ConnectionOptions {
  return {
    rejectUnauthorized: true,
    checkServerIdentity: (_, certificate) => checkServerIdentity(host, certificate),
    ...(authority === undefined ? {} : { ca: readFileSync(authority, 'utf8') }),
  };
}

async function passwordFor(of: Parameters<typeof pgpass>[0]): Promise<string> {
  const given = process.env.PGPASSWORD;
  if (given !== undefined && given !== '') return given;
  const found = await new Promise<string | undefined>((resolve) => pgpass(of, resolve));
  if (found !== undefined) return found;
  throw new HistoryTrouble(
    'login',
    'The shared history asks for a password, and there is none: put it into PGPASSWORD or the passfile (~/.pgpass). Weights are safe here.',
  );
}

async function checkVersion(client: pg.Client): Promise<void> {
  const { rows } = await client.query<Row>('SELECT max(version) AS version FROM bismar.version');
  const version = Number(rows[0]?.version ?? 0);
  if (version > SHARED_VERSION)
    throw new HistoryTrouble(
      'newer',
      'The shared history was made by a newer bismar. Weights are safe here; nothing is sent until this one is as new.',
    );
  if (version < SHARED_VERSION)
    throw new HistoryTrouble(
      'not-set-up',
      'The shared history was made by an older bismar. Run `bismar shared setup` for it once more; what is in it stays. Weights are safe here.',
    );
}

function overClient(client: pg.Client, giveUp: () => void): SharedHistory {
  const ask = async (text: string, values: unknown[] = []): Promise<Row[]> => {
    try {
      return (await client.query<Row>(text, values)).rows;
    } catch (error) {
      throw historyTroubleOf(error);
    }
  };
  return {
    async enter(bench) {
      await ask('INSERT INTO bismar.benches (bench) VALUES ($1) ON CONFLICT DO NOTHING', [bench]);
      const [row] = await ask('SELECT role = current_user AS own, role::text FROM bismar.benches WHERE bench = $1', [
        bench,
      ]);
      if (row?.own === true) return;
      throw new HistoryTrouble(
        'refused',
        `The shared history knows this bench's id under another role, ${wordsOf(String(row?.role))}. Weights are safe here. ${TWO_BENCHES}`,
      );
    },
    async head(bench) {
      const [row] = await ask(HEAD, [bench]);
      return row ? { seq: place(row.seq), hash: text(row.hash) } : null;
    },
    async append(bench, rows) {
      const column = (name: keyof LogRow) => rows.map((row) => row[name]);
      const columns = (['seq', 'batch', 'kind', 'at', 'by', 'body', 'hash'] as const).map(column);
      await ask(INSERT, [bench, ...columns]);
    },
    async benches() {
      const rows = await ask(BENCHES);
      return rows.map(
        ({ bench, role, since, facts }): KnownBench => ({
          bench: text(bench),
          role: text(role),
          since: text(since),
          facts: facts === '0' ? 0 : place(facts),
        }),
      );
    },
    async facts(bench, after, most) {
      const rows = await ask(FACTS, [bench, after, most]);
      return rows.map(logRow);
    },
    async placeOf(bench, batch) {
      const [row] = await ask(PLACE, [bench, batch]);
      return row?.seq == null ? null : place(row.seq);
    },
    async ofKind(bench, kind, after) {
      const rows = await ask(OF_KIND, [bench, kind, after]);
      return rows.map(logRow);
    },
    async close() {
      await Promise.race([
        client.end().catch(() => {}),
        new Promise((resolve) => setTimeout(resolve, CLOSE_MS).unref()),
      ]);
      giveUp(); // a server that is away does not say goodbye
    },
  };
}

function logRow(row: Row): LogRow {
  return {
    seq: place(row.seq),
    batch: text(row.batch),
    kind: text(row.kind),
    at: text(row.at),
    by: text(row.by),
    body: text(row.body),
    hash: text(row.hash),
  };
}

function place(value: unknown): number {
  const seq = Number(value);
  if (typeof value === 'string' && Number.isSafeInteger(seq) && seq >= 1) return seq;
  throw new HistoryTrouble(
    'unsound',
    `The shared history tells a fact's place as "${wordsOf(String(value))}". It was not used.`,
  );
}

function text(value: unknown): string {
  if (typeof value === 'string') return value;
  throw new HistoryTrouble('unsound', 'The shared history answered with something that is no text. It was not used.');
}
