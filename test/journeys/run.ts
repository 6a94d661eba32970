/** Runs the built program without a terminal. */
import { spawn } from 'node:child_process';
import { inject } from 'vitest';

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

export interface RunOptions {
  /** Which Node runs it; default: this one. */
  readonly node?: string | undefined;
  /** Which user, where that is not the present one. */
  readonly as?: { readonly uid?: number; readonly gid?: number };
}

/** Runs a command of `bismar` to its end. */
export function run(args: readonly string[], { node = process.execPath, as = {} }: RunOptions = {}): Promise<Ran> {
  const child = spawn(node, [inject('program'), ...args], { ...as, stdio: ['ignore', 'pipe', 'pipe'] });
  let out = '';
  let err = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text;
  });
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    err += text;
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (code) => resolve({ code, out, err }));
  });
}
