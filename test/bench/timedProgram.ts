/** A program in a real pseudo-terminal, and when what would be seen there. */
import type { IPty } from '@lydell/node-pty';
import xterm from '@xterm/headless';

type Spawn = typeof import('@lydell/node-pty').spawn;

/** The library of pseudo-terminals, or why it can't be used here. */
export async function loadSpawn(): Promise<{ readonly spawn: Spawn } | { readonly why: string }> {
  try {
    return { spawn: (await import('@lydell/node-pty')).spawn };
  } catch {
    return { why: 'the package @lydell/node-pty has no pseudo-terminal for this system' };
  }
}

const COLUMNS = 80;
const ROWS = 24;
/** No step of a program under measurement takes longer. */
const PATIENCE_MS = 30_000;
/** Between these two a terminal holds the frame back (synchronized output). */
const FRAME_BEGINS = '\x1b[?2026h';
const FRAME_ENDS = '\x1b[?2026l';

/** Called after each piece of output. @param screen all rows @param at when the piece arrived, `performance.now()` */
type Look = (screen: string, at: number) => void;

export class TimedProgram {
  readonly #terminal = new xterm.Terminal({ cols: COLUMNS, rows: ROWS, allowProposedApi: true });
  readonly #pty: IPty;
  readonly #gone: Promise<void>;
  readonly #looks = new Set<Look>();
  /** The terminal shows the last frame whole. */
  #whole = true;
  #tail = '';
  /** Bytes that the program has written to its terminal. */
  bytes = 0;

  constructor(spawn: Spawn, args: readonly string[]) {
    this.#pty = spawn(process.execPath, [...args], {
      cols: COLUMNS,
      rows: ROWS,
      env: { ...plainEnvironment(), TERM: 'xterm-256color', LANG: 'C.UTF-8' },
    });
    this.#gone = new Promise((resolve) => this.#pty.onExit(() => resolve()));
    this.#pty.onData((piece) => {
      const at = performance.now();
      this.bytes += Buffer.byteLength(piece);
      // A mark may come in two pieces.
      const text = this.#tail + piece;
      this.#tail = text.slice(1 - FRAME_ENDS.length);
      const begins = text.lastIndexOf(FRAME_BEGINS);
      const ends = text.lastIndexOf(FRAME_ENDS);
      if (begins !== ends) this.#whole = ends > begins;
      const whole = this.#whole;
      this.#terminal.write(piece, () => {
        if (!whole || this.#looks.size === 0) return;
        const screen = this.#screen();
        for (const look of this.#looks) look(screen, at);
      });
    });
  }

  #screen(): string {
    const { active } = this.#terminal.buffer;
    const rows = Array.from({ length: ROWS }, (_, row) => active.getLine(active.viewportY + row));
    return rows.map((row) => row?.translateToString(true) ?? '').join('\n');
  }

  get pid(): number {
    return this.#pty.pid;
  }

  /** Looks at the screen after each piece of output until the returned function is called. */
  watch(look: Look): () => void {
    this.#looks.add(look);
    return () => this.#looks.delete(look);
  }

  /** @returns when the output arrived that put this on the screen. Rejects with the screen when that never comes. */
  async seen(pattern: RegExp): Promise<number> {
    const { promise, resolve, reject } = Promise.withResolvers<number>();
    const stop = this.watch((screen, at) => {
      if (pattern.test(screen)) resolve(at);
    });
    const giveUp = (why: string) => () => reject(new Error(`${pattern} ${why}:\n${this.#screen()}`));
    const timer = setTimeout(giveUp('was never seen'), PATIENCE_MS);
    void this.#gone.then(giveUp('was not seen before the program ended'));
    try {
      return await promise;
    } finally {
      clearTimeout(timer);
      stop();
    }
  }

  /** Asks it to end, and ends it when it does not. */
  async end(): Promise<void> {
    this.#signal('SIGTERM');
    const timer = setTimeout(() => this.#signal('SIGKILL'), 3000);
    await this.#gone;
    clearTimeout(timer);
    this.#terminal.dispose();
  }

  #signal(signal: string): void {
    try {
      this.#pty.kill(signal);
    } catch {
      // It has ended by itself.
    }
  }
}

/** The environment without what changes how programs draw or start. */
function plainEnvironment(): Record<string, string | undefined> {
  const changes = /^(CI|CI_.*|CONTINUOUS_INTEGRATION|NO_COLOR|FORCE_COLOR|COLORTERM|DEBUG|LC_ALL|NODE_.*)$/;
  return Object.fromEntries(Object.entries(process.env).filter(([name]) => !changes.test(name)));
}
