/** Keeps noise without line endings (a wrong speed, a wrong profile) from piling up in memory. */

/** More bytes than any scale sends in one line. */
export const MOST_BYTES_WITHOUT_LINE = 4096;

export interface LineGuard {
  /**
   * Looks at a chunk before it goes on to be split.
   * @returns the bytes to go on with, `over` true when too many bytes have come without a line ending: then what was
   * collected before is to be dropped, and this chunk's bytes up to the first ending are already left out
   */
  pass(chunk: Uint8Array): { readonly bytes: Uint8Array; readonly over: boolean };
}

const NONE = new Uint8Array(0);

/**
 * @param endByte the last byte of a line's ending
 * @param skipFirst leave out everything up to the first line ending: after a port was opened, the first line is
 * usually the rest of one
 */
export function createLineGuard(endByte: number, skipFirst = true): LineGuard {
  let skipping = skipFirst;
  let sinceEnding = 0;
  return {
    pass(chunk) {
      let bytes = chunk;
      const first = chunk.indexOf(endByte);
      let over = false;
      if (first === -1) {
        sinceEnding += chunk.length;
        if (sinceEnding > MOST_BYTES_WITHOUT_LINE) {
          sinceEnding = 0;
          skipping = true;
          over = true;
        }
        return { bytes: skipping ? NONE : chunk, over };
      }
      if (sinceEnding + first > MOST_BYTES_WITHOUT_LINE) {
        over = true;
        skipping = true;
      }
      if (skipping) {
        bytes = chunk.subarray(first + 1);
        skipping = false;
      }
      sinceEnding = chunk.length - 1 - chunk.lastIndexOf(endByte);
      return { bytes, over };
    },
  };
}
