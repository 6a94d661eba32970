/** Runs the built program without a terminal. */
import { spawn } from 'node:child_process';
import { inject } from 'vitest';

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

/** Runs a command of `bismar` to its end. @param node which Node runs it */
export function run(args: readonly string[], node: string = process.execPath): Promise<Ran> {
  const child = spawn(node, [inject('program'), ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
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
