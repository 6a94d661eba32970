import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { chmodSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { expect, onTestFinished, test } from 'vitest';
import { openLog } from '../../src/records/batchLog.ts';
import { LogTrouble } from '../../src/records/logTrouble.ts';
import { takeWritingRight } from '../../src/records/oneWriter.ts';
import { verifyLog } from '../../src/records/verify.ts';
import { tempFolder } from './tempFolder.ts';

const program = fileURLToPath(new URL('childWriter.ts', import.meta.url));
/** A user without rights of its own, for tests that run as the super-user. */
const NOBODY = 65_534;

type Child = ChildProcessByStdio<Writable, Readable, null>;

function start(folder: string, args: readonly string[], as?: number): Child {
  const user = as === undefined ? {} : { uid: as, gid: as };
  const child = spawn(process.execPath, [program, folder, ...args], { stdio: ['pipe', 'pipe', 'inherit'], ...user });
  onTestFinished(() => {
    child.kill('SIGKILL');
  });
  child.stdout.setEncoding('utf8');
  return child;
}

/** All that a child prints, until it ends. */
async function outputOf(child: Child): Promise<string> {
  let text = '';
  for await (const chunk of child.stdout) text += chunk;
  return text;
}

function ended(child: Child): Promise<unknown> {
  return new Promise((resolve) => child.once('exit', resolve));
}

async function holding(child: Child): Promise<void> {
  const [said] = (await new Promise<string[]>((resolve) => child.stdout.once('data', (text) => resolve([text])))) ?? [];
  expect(said).toBe('holding\n');
}

function sentenceOf(work: () => unknown): string {
  try {
    work();
  } catch (error) {
    if (error instanceof LogTrouble) return error.message;
    throw error;
  }
  return '';
}

test('a second process is told who has the workshop, and readers are let in', async () => {
  const folder = tempFolder();
  const child = start(folder, ['hold']);
  await holding(child);
  expect(sentenceOf(() => takeWritingRight(folder))).toMatch(
    new RegExp(
      `^This workshop is already open in another bismar \\(process ${child.pid}, since \\d\\d:\\d\\d\\)\\. Weights there are safe\\. Close it first \\(there: x, then q\\) and say this again; or watch with \`bismar log\`\\.$`,
    ),
  );
  expect(openLog(join(folder, 'batches.db'), { readOnly: true }).facts()).toEqual([]);
  child.stdin.end();
  await ended(child);
  const right = takeWritingRight(folder);
  expect(await outputOf(start(folder, ['append', '1']))).toContain(`(process ${process.pid}, since `);
  right.release();
  right.release();
  expect(await outputOf(start(folder, ['append', '1']))).toContain('"kind":"weighed"');
});

test('the same process can not take it twice', () => {
  const folder = tempFolder();
  const right = takeWritingRight(folder);
  expect(sentenceOf(() => takeWritingRight(folder))).toContain(`process ${process.pid},`);
  expect(sentenceOf(() => takeWritingRight(folder))).toContain('already open'); // the failed try did not let go
  right.release();
  takeWritingRight(folder).release();
});

test('a killed process leaves no lock behind', async () => {
  const folder = tempFolder();
  for (let round = 0; round < 5; round++) {
    const child = start(folder, ['hold']);
    await holding(child);
    const gone = ended(child);
    child.kill('SIGKILL');
    await gone;
    takeWritingRight(folder).release();
  }
});

test('killed at any moment, every fact that was said to be recorded is in the log, and the log is whole', async () => {
  const folder = tempFolder();
  const file = join(folder, 'batches.db');
  let before = 0;
  for (const lines of [1, 2, 5, 17, 40]) {
    const child = start(folder, ['append', '0']);
    const gone = ended(child);
    let text = '';
    for await (const chunk of child.stdout) {
      text += chunk;
      if (text.split('\n').length > lines) child.kill('SIGKILL');
    }
    await gone;
    const said = text.split('\n').slice(0, -1);
    expect(said.length).toBeGreaterThanOrEqual(lines);
    const log = openLog(file);
    const stored = log.facts();
    for (const line of said) {
      const fact = JSON.parse(line);
      expect(stored[fact.seq - 1]).toEqual(fact);
    }
    expect(stored.length).toBeGreaterThan(before + lines);
    before = stored.length;
    await log.append('2026-11-25-1', 'Jo', [{ kind: 'resumed' }]);
    log.close();
    expect(verifyLog(file)).toMatchObject({ ok: true, damages: [] });
  }
});

test.each([
  [
    'another day',
    { pid: process.pid, host: hostname(), since: '2026-11-24T22:15:00.000+01:00' },
    / \(process \d+, since 2026-11-24 22:15\)\. /,
  ],
  [
    'another machine',
    { pid: 7, host: 'shed', since: '2026-11-25T10:02:00.000+01:00' },
    / \(process 7 on shed, since .*10:02\)\. /,
  ],
  [
    'a process that is gone',
    { pid: 2 ** 30, host: hostname(), since: '2026-11-25T10:02:00.000+01:00' },
    /bismar\. Weights/,
  ],
  ['hostile text', { pid: 7, host: 'a\u001b[31mb', since: '2026-11-25T10:02:00.000+01:00' }, / on ab, /],
  ['nothing usable', null, /bismar\. Weights/],
])('who has it: %s', (_what, who, sentence) => {
  const folder = tempFolder();
  const right = takeWritingRight(folder);
  writeFileSync(join(folder, 'bench.who'), JSON.stringify(who));
  expect(sentenceOf(() => takeWritingRight(folder))).toMatch(sentence);
  right.release();
});

test('who holds it is written where it can be read, and gone afterwards', () => {
  const folder = tempFolder();
  const right = takeWritingRight(folder, new Date('2026-11-25T09:02:00.000Z'));
  const who = JSON.parse(readFileSync(join(folder, 'bench.who'), 'utf8'));
  expect(who).toMatchObject({ pid: process.pid, host: hostname() });
  expect(new Date(who.since).toISOString()).toBe('2026-11-25T09:02:00.000Z');
  right.release();
  expect(readdirSync(folder)).toEqual(['bench.lock']);
});

test('a folder that may not be written is told, by the lock and by the log', async (context) => {
  const folder = tempFolder();
  const root = process.getuid?.() === 0;
  const user = root ? NOBODY : undefined;
  chmodSync(folder, root ? 0o777 : 0o755);
  const first = await outputOf(start(folder, ['append', '1'], user));
  if (!first.includes('"kind"')) context.skip(`no second user can run here: ${first}`);
  chmodSync(folder, 0o555);
  expect(await outputOf(start(folder, ['append', '1'], user))).toMatch(/may not be written\. .*right to write/);
  chmodSync(folder, 0o755);
});

test('a folder that is not there is told', () => {
  expect(sentenceOf(() => takeWritingRight(join(tempFolder(), 'none')))).toMatch(/Is this the workshop's folder\?/);
});
