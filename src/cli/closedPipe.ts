/**
 * The reader of a pipe may leave early, as in `bismar log | head`. Then there is nobody to tell anything more to, and
 * the program ends without a word, as other programs do.
 */
import type { Writable } from 'node:stream';

/** What a shell shows for a program that a closed pipe has ended: 128 and the number of SIGPIPE (POSIX). */
export const PIPE_CLOSED = 141;

/** @param end ends the process at once; the batch log is synced fact by fact, so nothing is lost */
export function endOnClosedPipe(streams: readonly Writable[], end: (code: number) => void): void {
  for (const stream of streams) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code !== 'EPIPE') throw error;
      end(PIPE_CLOSED);
    });
  }
}
