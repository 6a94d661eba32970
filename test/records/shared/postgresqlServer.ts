/** A real PostgreSQL server of one's own for a test file: in a temporary folder, reached through a socket there. */
import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { chownSync, existsSync, globSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';

const [bin] = globSync('/usr/lib/postgresql/*/bin')
  .filter((folder) => existsSync(join(folder, 'initdb')))
  .reverse();

/** Whether Debian's server is there; tests that need it say `postgresql` in their title and are skipped otherwise. */
export const hasServer = bin !== undefined;

/** The server refuses to run as root. */
const NOBODY = process.getuid?.() === 0 ? { uid: 65_534, gid: 65_534 } : {};

export interface Server {
  readonly port: number;
  /** File of its certificate, which is for `localhost`; over TCP it takes encrypted connections alone. */
  readonly certificate: string;
  /** The folder of its socket. */
  readonly folder: string;
  readonly socket: string;
  /** Runs SQL as its owner, in a database. */
  owner(database: string, sql: string, values?: unknown[]): Promise<Record<string, unknown>[]>;
  stop(): Promise<void>;
}

/** Starts one. Roles of the name `secret...` need a password, all others are trusted. */
export async function startServer(): Promise<Server> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-postgresql-'));
  if (NOBODY.uid !== undefined) chownSync(folder, NOBODY.uid, NOBODY.gid);
  const data = join(folder, 'data');
  const made = spawnSync(
    join(bin ?? '', 'initdb'),
    ['-D', data, '-U', 'owner', '-A', 'trust', '-N', '-E', 'UTF8', '--locale=C'],
    {
      ...NOBODY,
      cwd: folder,
      encoding: 'utf8',
    },
  );
  if (made.status !== 0) throw new Error(`initdb: ${made.stderr}`);
  writeFileSync(
    join(data, 'pg_hba.conf'),
    'local all secret_room scram-sha-256\nlocal all all trust\nhostssl all all localhost trust\n',
  );
  const port = await freePort();
  const certificate = makeCertificate(folder);
  const settings = [
    'listen_addresses=localhost',
    `port=${port}`,
    'ssl=on',
    `ssl_cert_file=${certificate}`,
    `ssl_key_file=${certificate}.key`,
    `unix_socket_directories=${folder}`,
    'fsync=off',
    'shared_buffers=16MB',
  ];
  const server = spawn(join(bin ?? '', 'postgres'), ['-D', data, ...settings.flatMap((each) => ['-c', each])], {
    ...NOBODY,
    cwd: folder,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  const atExit = () => server.kill('SIGQUIT');
  process.once('exit', atExit);
  const said = await ready(server);
  return {
    folder,
    port,
    certificate,
    socket: join(folder, `.s.PGSQL.${port}`),
    async owner(database, sql, values) {
      const client = new pg.Client({ host: folder, port, user: 'owner', database });
      client.on('error', () => {});
      try {
        await client.connect();
        return (await client.query(sql, values)).rows;
      } catch (error) {
        if ((error as { code?: unknown }).code === undefined) throw new Error(`${error}; the server: ${said()}`);
        throw error;
      } finally {
        await client.end();
      }
    },
    async stop() {
      process.removeListener('exit', atExit);
      const gone = new Promise((resolve) => server.once('exit', resolve));
      server.kill('SIGQUIT'); // at once: nothing of it is needed any more
      await gone;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, 'localhost');
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  return typeof address === 'object' && address ? address.port : 0;
}

function makeCertificate(folder: string): string {
  const file = join(folder, 'server.pem');
  const wish = [
    '-x509',
    '-nodes',
    '-newkey',
    'ec',
    '-pkeyopt',
    'ec_paramgen_curve:prime256v1',
    '-subj',
    '/CN=localhost',
  ];
  const names = ['-addext', 'subjectAltName=DNS:localhost', '-keyout', `${file}.key`, '-out', file];
  const made = spawnSync('openssl', ['req', ...wish, ...names], { ...NOBODY, cwd: folder, encoding: 'utf8' });
  if (made.status !== 0) throw new Error(`openssl: ${made.stderr}`);
  return file;
}

/** @returns what the server has said so far */
function ready(server: ChildProcess): Promise<() => string> {
  return new Promise((resolve, reject) => {
    let said = '';
    server.stderr?.on('data', (chunk) => {
      said += chunk;
      if (said.includes('database system is ready to accept connections')) resolve(() => said.slice(-2000));
    });
    server.once('exit', (code) => reject(new Error(`the server ended with ${code}: ${said}`)));
  });
}
