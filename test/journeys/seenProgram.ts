/** The built program in a real pseudo-terminal, judged by what the eye sees: its bytes are replayed into a terminal. */
import { createRequire } from 'node:module';
import type { IPty } from '@lydell/node-pty';
import xterm from '@xterm/headless';
import { inject } from 'vitest';
import { until } from './until.ts';

type NodePty = typeof import('@lydell/node-pty');

function load(): { readonly pty: NodePty } | { readonly why: string } {
  try {
    return { pty: createRequire(import.meta.url)('@lydell/node-pty') as NodePty };
  } catch (error) {
    return { why: `node-pty does not load here (${error instanceof Error ? error.message.split('\n')[0] : error})` };
  }
}
const loaded = load();

/** Why there is no pseudo-terminal for a program here; undefined when there is one. */
export const noTerminal: string | undefined = 'why' in loaded ? loaded.why : undefined;

export interface SeenOptions {
  readonly columns?: number;
  readonly rows?: number;
  /** Added to the program's environment. */
  readonly environment?: Readonly<Record<string, string>>;
  /** Options for Node itself, before the program. */
  readonly nodeOptions?: readonly string[];
}

export interface Exit {
  readonly code: number;
  /** Number of the signal that ended it; 0: none. */
  readonly signal: number;
}

const KEYS: Readonly<Record<string, string>> = { enter: '\r', escape: '\x1b', 'ctrl+c': '\x03', space: ' ' };

/** A running program and the terminal it writes to. */
export class SeenProgram {
  readonly exited: Promise<Exit>;
  /** All bytes that it wrote, as text. */
  written = '';
  readonly terminal: InstanceType<typeof xterm.Terminal>;
  readonly #pty: IPty;
  /** The beginning of a frame whose end has not come yet. */
  #half = '';
  #exit: Exit | undefined;

  /** Starts `bismar` with these arguments. */
  constructor(args: readonly string[], { columns = 80, rows = 24, environment, nodeOptions = [] }: SeenOptions = {}) {
    if ('why' in loaded) throw new Error(loaded.why);
    this.terminal = new xterm.Terminal({ cols: columns, rows, allowProposedApi: true });
    this.#pty = loaded.pty.spawn(process.execPath, [...nodeOptions, inject('program'), ...args], {
      name: 'xterm-256color',
      cols: columns,
      rows,
      env: { ...plainEnvironment(), TERM: 'xterm-256color', LANG: 'C.UTF-8', ...environment },
    });
    this.#pty.onData((text) => {
      this.written += text;
      this.#show(text);
    });
    this.exited = new Promise((resolve) => {
      this.#pty.onExit(({ exitCode, signal }) => {
        this.#exit = { code: exitCode, signal: signal ?? 0 };
        resolve(this.#exit);
      });
    });
  }

  /** Shows whole frames only, as a terminal does that knows synchronized output (mode 2026). */
  #show(text: string): void {
    const all = this.#half + text;
    const begun = all.lastIndexOf('\x1b[?2026h');
    const cut = begun > all.lastIndexOf('\x1b[?2026l') ? begun : (/\x1b[^a-zA-Z]*$/.exec(all)?.index ?? all.length);
    this.#half = all.slice(cut);
    this.terminal.write(all.slice(0, cut));
  }

  get hasExited(): boolean {
    return this.#exit !== undefined;
  }

  /** What stands on the screen, line by line, without blanks at the right ends. */
  async screen(): Promise<string> {
    await new Promise<void>((resolve) => this.terminal.write('', resolve));
    const { active } = this.terminal.buffer;
    return Array.from(
      { length: this.terminal.rows },
      (_, row) => active.getLine(active.viewportY + row)?.translateToString(true) ?? '',
    ).join('\n');
  }

  /** Waits until a text stands on the screen, line breaks and rows of blanks counting as one blank. */
  waitForText(wanted: string | RegExp, withinMs?: number): Promise<string> {
    return until(
      `${wanted} on the screen`,
      async () => {
        const screen = await this.screen();
        const flowing = screen.replace(/\s+/g, ' ');
        return (typeof wanted === 'string' ? flowing.includes(wanted) : wanted.test(flowing)) && screen;
      },
      { withinMs, seen: () => this.screen() },
    );
  }

  /** One key, by its name (`enter`) or as its character. */
  press(key: string): void {
    this.#pty.write(KEYS[key] ?? key);
  }

  resize(columns: number, rows: number): void {
    this.terminal.resize(columns, rows);
    this.#pty.resize(columns, rows);
  }

  signal(name: NodeJS.Signals): void {
    process.kill(this.#pty.pid, name);
  }

  /** Ends it without asking, and waits until it is gone. */
  async kill(): Promise<void> {
    if (this.#exit === undefined) this.signal('SIGKILL');
    await this.exited;
  }
}

/** The environment without what changes how programs draw, and without the test runner's own. */
function plainEnvironment(): Record<string, string | undefined> {
  const kept = Object.entries(process.env).filter(
    ([name]) =>
      !/^(CI|CI_.*|CONTINUOUS_INTEGRATION|NO_COLOR|FORCE_COLOR|COLORTERM|DEBUG|LC_ALL|NODE_.*|VITEST.*|TEST)$/.test(
        name,
      ),
  );
  return Object.fromEntries(kept);
}
