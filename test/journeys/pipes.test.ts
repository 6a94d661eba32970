/** The program between others: its reader leaves early, or nobody is there to answer. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, inject, onTestFinished, test } from 'vitest';
import { run } from './run.ts';

async function newWorkshop(): Promise<string> {
  const around = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
  onTestFinished(() => rmSync(around, { recursive: true, force: true }));
  const folder = join(around, 'workshop');
  expect(await run(['init', '--yes', folder])).toMatchObject({ code: 0, err: '' });
  return folder;
}

/** Runs a command whose reader has left before it says a word. */
function runUnheard(args: readonly string[]): Promise<{ code: number | null; err: string }> {
  const child = spawn(process.execPath, [inject('program'), ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  child.stdout.destroy();
  let err = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, err })));
}

test('whatever the command, a reader that leaves early ends it without a word', async () => {
  const folder = await newWorkshop();
  expect((await run(['weigh', '--json', '--in', folder])).code).toBe(1); // so that there are facts to tell
  for (const command of [
    ['--help'],
    ['plan', '--in', folder],
    ['log', '--in', folder],
    ['log', '--json', '--in', folder],
    ['record', '--in', folder],
    ['record', '--csv', '--in', folder],
    ['verify', '--in', folder],
    ['weigh', '--plain', '--in', folder],
    ['demo', '--plain', '--folder', join(folder, 'demo')],
  ]) {
    // 128 and the number of SIGPIPE (POSIX), as for other programs.
    expect({ command, ...(await runUnheard(command)) }).toEqual({ command, code: 141, err: '' });
  }
});

test('where an answer is needed and nobody can give one, it says so and ends; the batch can be resumed', async () => {
  const folder = await newWorkshop();
  const { code, out, err } = await run(['weigh', '--plain', '--in', folder]);
  expect(code).toBe(1);
  expect(out.trimEnd().split('\n').at(-1)).toMatch(/GATHER/);
  expect(err).toMatch(/^Standard input has ended, and an answer is needed to go on\. The batch is left open/);
  const resume = / go on with: (?:npx )?bismar resume (\S+) --in (\S+)\n$/.exec(err);
  expect(resume?.[2]).toBe(folder);
  expect(JSON.parse((await run(['record', '--json', resume?.[1] ?? '', '--in', folder])).out)).toMatchObject({
    status: 'open',
  });
});

test('a mistyped command is answered with the one that was meant', async () => {
  for (const [typed, meant] of [
    [['wiegh'], 'weigh'],
    [['wiegh', 'trial', '--in', 'soapbox'], 'weigh'],
    [['scale', 'lsit'], 'list'],
    [['weigh', '--plian'], '--plain'],
  ] as const) {
    const { code, out, err } = await run(typed);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toContain(`(Did you mean ${meant}?)`);
  }
  expect((await run(['frobnicate'])).err).not.toContain('Did you mean');
});
