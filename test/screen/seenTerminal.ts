/**
 * A terminal in this process: what the screen writes is replayed into a headless terminal, and tests judge what the
 * eye would see there. A stand-in for the TTY and its keyboard, nothing of the screen itself.
 */
import './withColour.ts';
import { EventEmitter } from 'node:events';
import { PassThrough } from 'node:stream';
import xterm from '@xterm/headless';
import type { Clock } from '../../src/screen/liveStore.ts';
import { type OpenScreen, openScreen, restoreTerminal } from '../../src/screen/openScreen.tsx';
import type { BenchView, Pressed } from '../../src/screen/view.ts';

/** The terminal's end that the program writes to. */
export class SeenTerminal extends EventEmitter {
  readonly isTTY = true;
  readonly writable = true;
  columns: number;
  rows: number;
  /** All that was written, for counting bytes. */
  written = '';
  readonly terminal: InstanceType<typeof xterm.Terminal>;

  constructor(columns: number, rows: number) {
    super();
    this.columns = columns;
    this.rows = rows;
    this.terminal = new xterm.Terminal({ cols: columns, rows, allowProposedApi: true, convertEol: true });
  }

  write(text: string, done?: () => void): boolean {
    this.written += text;
    this.terminal.write(text, done);
    return true;
  }

  /** Gives the terminal another size, the way a window does: first the terminal, then the program hears of it. */
  resize(columns: number, rows: number): void {
    this.terminal.resize(columns, rows);
    this.columns = columns;
    this.rows = rows;
    this.emit('resize');
  }

  /** What stands on the screen, line by line, without blanks at the right ends. */
  async seen(): Promise<string> {
    await new Promise<void>((resolve) => this.terminal.write('', resolve));
    const { active } = this.terminal.buffer;
    return Array.from(
      { length: this.rows },
      (_, row) => active.getLine(active.viewportY + row)?.translateToString(true) ?? '',
    ).join('\n');
  }

  /** What stands on the screen with its colours, cell by cell: two screens that look alike are equal here. */
  async painted(): Promise<string[]> {
    await this.seen();
    const { active } = this.terminal.buffer;
    return Array.from({ length: this.rows }, (_, row) => {
      const line = active.getLine(active.viewportY + row);
      return Array.from({ length: this.columns }, (_, column) => {
        const cell = line?.getCell(column);
        if (!cell) return '?';
        const blank = cell.getChars() === '' || cell.getChars() === ' ';
        const look = [cell.isBold(), cell.isDim(), cell.isInverse(), cell.getFgColorMode(), cell.getFgColor()];
        const ground = [cell.getBgColorMode(), cell.getBgColor()];
        // The ink of a blank can't be seen, its ground can.
        return blank ? ` ${cell.isInverse()},${ground}` : `${cell.getChars()}${look},${ground}`;
      }).join('|');
    });
  }

  /** The terminal as the program's `stdout`. */
  get stdout(): NodeJS.WriteStream {
    return this as unknown as NodeJS.WriteStream;
  }
}

/** A keyboard in raw mode. */
export function keyboard(): NodeJS.ReadStream & { type(text: string): void } {
  const stream = new PassThrough() as unknown as NodeJS.ReadStream & { type(text: string): void };
  return Object.assign(stream, {
    isTTY: true,
    setRawMode: () => stream,
    ref: () => stream,
    unref: () => stream,
    type: (text: string) => void (stream as unknown as PassThrough).write(text),
  });
}

/** A clock that stands still until it is moved. */
export class HandClock implements Clock {
  #now = 0;
  #waiting: { at: number; call: () => void }[] = [];

  now(): number {
    return this.#now;
  }

  later(call: () => void, ms: number): () => void {
    const entry = { at: this.#now + ms, call };
    this.#waiting.push(entry);
    return () => {
      this.#waiting = this.#waiting.filter((each) => each !== entry);
    };
  }

  /** Moves on and rings what is due, in order of time. */
  move(ms: number): void {
    const end = this.#now + ms;
    for (;;) {
      const next = this.#waiting.filter(({ at }) => at <= end).sort((a, b) => a.at - b.at)[0];
      if (!next) break;
      this.#waiting = this.#waiting.filter((each) => each !== next);
      this.#now = next.at;
      next.call();
    }
    this.#now = end;
  }
}

export interface Seen {
  readonly terminal: SeenTerminal;
  readonly screen: OpenScreen;
  readonly clock: HandClock;
  readonly inputs: Pressed[];
  readonly answers: string[];
  type(text: string): Promise<void>;
  /** Lets the screen draw all that it knows, and reads it. */
  look(): Promise<string>;
}

/** Opens the screen on such a terminal. */
export function openSeen(
  first: BenchView,
  {
    columns = 80,
    rows = 24,
    environment = { LANG: 'C.UTF-8', TERM: 'xterm-256color' } as Readonly<Record<string, string>>,
  } = {},
): Seen {
  const terminal = new SeenTerminal(columns, rows);
  const stdin = keyboard();
  const clock = new HandClock();
  const inputs: Pressed[] = [];
  const answers: string[] = [];
  const screen = openScreen({
    stdout: terminal.stdout,
    stdin,
    environment,
    first,
    clock,
    onKey: (input) => inputs.push(input),
    onAnswer: (text) => answers.push(text),
  });
  const look = async () => {
    await screen.drawn();
    return terminal.seen();
  };
  return {
    terminal,
    screen,
    clock,
    inputs,
    answers,
    look,
    type: async (text) => {
      stdin.type(text);
      await new Promise((resolve) => setImmediate(resolve));
      await screen.drawn();
    },
  };
}

export { restoreTerminal };
