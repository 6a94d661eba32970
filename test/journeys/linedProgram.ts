/** The built program without a terminal: lines out, keys in by their names, as a screen reader or a script uses it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { inject } from 'vitest';
import type { Exit } from './seenProgram.ts';

const QUIET_MS = 700;

export class LinedProgram {
  readonly out: string[] = [];
  /** Lines of both streams in the order in which they came. That of two streams is not always that of the program. */
  readonly all: string[] = [];
  #lastAt = performance.now();
  readonly exited: Promise<Exit>;
  readonly #child: ChildProcess;

  constructor(args: readonly string[]) {
    const child = spawn(process.execPath, [inject('program'), ...args], { stdio: ['pipe', 'pipe', 'pipe'] });
    this.#child = child;
    const gather = (stream: NodeJS.ReadableStream, into: readonly string[][]) => {
      let rest = '';
      stream.setEncoding('utf8');
      stream.on('data', (text: string) => {
        const lines = (rest + text).split('\n');
        rest = lines.pop() ?? '';
        for (const list of into) list.push(...lines);
        this.#lastAt = performance.now();
      });
    };
    gather(child.stdout, [this.out, this.all]);
    gather(child.stderr, [this.all]);
    this.exited = once(child, 'close').then(([code, signal]) => ({
      code: code ?? -1,
      signal: signal === null ? 0 : -1,
    }));
  }

  /** Nothing more has come for a while. */
  get isQuiet(): boolean {
    return performance.now() - this.#lastAt > QUIET_MS;
  }

  /** One key by its name; an empty line is Enter. */
  press(key: string): void {
    this.#child.stdin?.write(`${key === 'enter' ? '' : key}\n`);
  }

  async kill(): Promise<void> {
    if (this.#child.exitCode === null && this.#child.signalCode === null) this.#child.kill('SIGKILL');
    await this.exited;
  }
}
