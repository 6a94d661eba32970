/** The demo without a terminal: it weighs by itself and ends with the record. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, inject, onTestFinished, test } from 'vitest';
import { canSeeListening, listeningOn } from './listening.ts';
import { run } from './run.ts';
import type { RecordedBatch } from './trueRecord.ts';

test('without a terminal the demo weighs the whole batch by itself and ends with the path of its record', {
  timeout: 180_000,
}, async () => {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-demo-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const { code, out, err } = await run(['demo', '--folder', folder]);
  expect({ code, err }).toEqual({ code: 0, err: '' });
  const page = /Record of batch \S+: (.*\.html)$/.exec(out.trimEnd())?.[1] ?? '';
  expect(existsSync(page)).toBe(true);
  expect(readFileSync(page, 'utf8')).toContain('Cornflower');
  const record = JSON.parse((await run(['record', '--json', '--in', folder])).out) as RecordedBatch;
  expect(record).toMatchObject({ status: 'finished' });
  expect(new Set(record.draws.map(({ ingredient }) => ingredient)).size).toBe(21);
  expect(record.measured).toMatchObject([{ what: 'pH', value: expect.stringMatching(/^5\.[0-6]$/) }]);
  expect(record.deviations.join()).not.toContain('no measured value');
  expect(new Set(record.over_pours.map(({ end }) => end))).toEqual(new Set(['taken back']));
});

test('a demo that is left halfway takes its folder with it, and says so', async () => {
  const around = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
  onTestFinished(() => rmSync(around, { recursive: true, force: true }));
  const child = spawn(process.execPath, [inject('program'), 'demo', '--plain'], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, TMPDIR: around },
  });
  let out = '';
  const began = new Promise((resolve) => {
    child.stdout.setEncoding('utf8').on('data', (text: string) => {
      out += text;
      if (/ADD/.test(out)) resolve(undefined);
    });
  });
  const ended = once(child, 'close');
  await began;
  const [folder = ''] = readdirSync(around);
  expect(out).toContain(join(around, folder));
  expect(existsSync(join(around, folder, 'batches.db'))).toBe(true);
  if (process.platform !== 'win32') {
    for (const name of ['batches.db', 'batches.db-wal', 'bench.lock', 'workshop.yaml']) {
      expect(statSync(join(around, folder, name)).mode & 0o077, `${name} is for its owner alone`).toBe(0);
    }
  }
  if (canSeeListening) expect(listeningOn(child.pid ?? 0)).toEqual([]);
  child.kill('SIGTERM');
  expect(await ended).toEqual([0, null]);
  expect(out).toMatch(/Its folder is gone with them; --folder DIR keeps one\.\n$/);
  expect(readdirSync(around)).toEqual([]);
});

test.skipIf(!canSeeListening)('what listens would be seen', async () => {
  const server = createServer().listen(0, '127.0.0.1');
  onTestFinished(() => void server.close());
  await once(server, 'listening');
  expect(listeningOn(process.pid).some((each) => each.startsWith('tcp 0100007F:'))).toBe(true);
});
