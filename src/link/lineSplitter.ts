/**
 * Bytes -> lines for one opening of a port. A new one is made at each opening, so that half a line from before never
 * joins the first new one.
 */
import { ReadlineParser } from '@serialport/parser-readline';
import type { Ending } from '../wire/profile.ts';
import { createLineGuard } from './lineGuard.ts';

export interface LineSplitter {
  /** @param at when the bytes arrived, monotonic milliseconds */
  write(chunk: Uint8Array, at: number): void;
  /** Nothing more is told. */
  end(): void;
}

/**
 * The first line is dropped (it is usually the rest of one), empty lines too.
 *
 * Split is at the line feed (at the carriage return for `cr`), and the other one of the two is trimmed: scales differ
 * from their manuals there. Bytes are read as Latin-1, so that noise survives into the raw log as it came.
 * @param onLine a complete line without its ending, and when its last bytes arrived
 * @param onNoise too many bytes came without an ending; they are dropped
 */
export function createLineSplitter(
  ending: Ending,
  onLine: (line: string, at: number) => void,
  onNoise: (at: number) => void,
): LineSplitter {
  const delimiter = ending === 'cr' ? '\r' : '\n';
  const guard = createLineGuard(delimiter.charCodeAt(0));
  let arrived = 0;
  let parser: ReadlineParser | undefined;

  const renew = (): ReadlineParser => {
    parser?.removeAllListeners('data');
    const fresh = new ReadlineParser({ delimiter, encoding: 'latin1' });
    fresh.on('data', (text: string) => {
      const line = ending === 'cr' ? text.replace(/^\n/, '') : text.replace(/\r$/, '');
      if (line !== '') onLine(line, arrived);
    });
    parser = fresh;
    return fresh;
  };
  renew();

  return {
    write(chunk, at) {
      arrived = at;
      const { bytes, over } = guard.pass(chunk);
      if (over) {
        renew();
        onNoise(at);
      }
      if (bytes.length > 0) parser?.write(bytes);
    },
    end() {
      // Not ended as a stream: that would tell the unfinished rest as if it were a line.
      parser?.removeAllListeners('data');
      parser = undefined;
    },
  };
}
