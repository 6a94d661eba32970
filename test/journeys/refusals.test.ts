/** What is refused before anything is recorded, each in a sentence. */
import { spawnSync } from 'node:child_process';
import { accessSync, chmodSync, chownSync, constants, realpathSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { expect, inject, test } from 'vitest';
import type { Bench } from './bench.ts';
import { journey, THREE_WAYS } from './journey.ts';
import { run } from './run.ts';

const formula = THREE_WAYS;
/** A user without rights, where this runs as one with all. */
const NOBODY = 65_534;

journey(
  'a second bismar on the same workshop is refused while one weighs, and the first goes on',
  async ({ bench, maker, start }) => {
    const program = start(['weigh', 'trial']);
    await maker.work(({ glance }) => glance.headline === 'ADD');
    const before = bench.facts().length;
    for (const command of [['weigh', 'trial'], ['resume']]) {
      const { code, out, err } = await run([...command, '--in', bench.folder]);
      expect({ code, out }).toEqual({ code: 1, out: '' });
      expect(err).toMatch(/^This workshop is already open in another bismar \(process \d+, since \d\d:\d\d\)\. .*\n$/);
    }
    // Reading is not refused.
    expect((await run(['log', '--in', bench.folder])).out.trimEnd().split('\n')).toHaveLength(before);
    expect(program.hasExited).toBe(false);
    await maker.work(({ draw }) => draw?.way === 'cup');
  },
  { formula },
);

journey(
  'a port that is not there: exit code 3 and a sentence, and no batch is begun',
  async ({ bench }) => {
    await bench.line('bench').pullOut();
    const { code, err } = await run(['weigh', 'trial', '--in', bench.folder]);
    expect(code).toBe(3);
    expect(err).toMatch(/^There is no port .*bench\.near: the scale is not plugged in, .*"bismar scale list".*\n$/);
    expect(bench.facts()).toEqual([]);
  },
  { formula },
);

/** Takes the right to use the bench scale's port away from whoever runs the program then. */
function forbid({ folder, line }: Bench): { readonly uid?: number; readonly gid?: number } {
  chmodSync(realpathSync(line('bench').near), 0o600);
  if (process.getuid?.() !== 0) {
    chmodSync(realpathSync(line('bench').near), 0);
    return {};
  }
  chownSync(folder, NOBODY, NOBODY);
  return { uid: NOBODY, gid: NOBODY };
}

const mayRunAsNobody =
  process.getuid?.() !== 0 ||
  spawnSync(process.execPath, [inject('program'), '--version'], { uid: NOBODY, gid: NOBODY }).status === 0;

(mayRunAsNobody ? journey : skipped('no user without rights can run the program here'))(
  'a port without permission: exit code 3 and a sentence that names the group, and no batch is begun',
  async ({ bench }) => {
    const as = forbid(bench);
    const { code, err } = await run(['weigh', 'trial', '--in', bench.folder], { as });
    expect({ code, err }).toEqual({
      code: 3,
      err: expect.stringMatching(/^(You may not use the port .*group that owns it.*\n)+$/),
    });
    expect(bench.facts()).toEqual([]);
  },
  { formula },
);

function skipped(why: string): typeof journey {
  return (title) => test.skip(`${title} (skipped: ${why})`);
}

/** The first Node of this machine that is too old, looked for along the path. */
function oldNode(): string | undefined {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    const file = join(folder, 'node');
    if (folder.includes('node_modules')) continue;
    try {
      accessSync(file, constants.X_OK);
    } catch {
      continue;
    }
    const major = Number(/^v(\d+)/.exec(spawnSync(file, ['--version'], { encoding: 'utf8' }).stdout)?.[1]);
    if (major < 24) return file;
  }
  return undefined;
}

const old = oldNode();
test.skipIf(old === undefined)(
  `started by too old a Node it says so in one sentence${old === undefined ? ' (skipped: no Node below 24 on the path)' : ''}`,
  async () => {
    const { code, out, err } = await run(['demo'], { node: old });
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(err).toMatch(/^bismar needs Node\.js 24 or newer, and this is [\d.]+; [^\n]+\n$/);
  },
);
