/** A terminal that takes everything and keeps nothing, and its keyboard. */
import { EventEmitter } from 'node:events';
import { PassThrough } from 'node:stream';

export interface StandInTerminal {
  readonly stdout: NodeJS.WriteStream;
  readonly stdin: NodeJS.ReadStream;
  /** Frames that were written to it. */
  readonly frames: number;
  /** Listeners that hang on either end. */
  readonly listeners: number;
}

export function standInTerminal(columns: number, rows: number): StandInTerminal {
  let frames = 0;
  const stdout = Object.assign(new EventEmitter(), {
    isTTY: true,
    writable: true,
    columns,
    rows,
    write(text: string, done?: () => void): boolean {
      if (text.includes('\x1b[?2026l')) frames += 1;
      if (done) queueMicrotask(done);
      return true;
    },
  });
  const stdin = Object.assign(new PassThrough(), {
    isTTY: true,
    setRawMode: () => stdin,
    ref: () => stdin,
    unref: () => stdin,
  });
  const own = hanging(stdin);
  return {
    stdout: stdout as unknown as NodeJS.WriteStream,
    stdin: stdin as unknown as NodeJS.ReadStream,
    get frames() {
      return frames;
    },
    get listeners() {
      return hanging(stdout) + hanging(stdin) - own;
    },
  };
}

function hanging(emitter: EventEmitter): number {
  return emitter.eventNames().reduce((sum, name) => sum + emitter.listenerCount(name), 0);
}
