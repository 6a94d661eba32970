import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createLineGuard, MOST_BYTES_WITHOUT_LINE } from '../../src/link/lineGuard.ts';

const LF = 10;

test('everything up to the first ending is left out', () => {
  const guard = createLineGuard(LF);
  expect(guard.pass(Buffer.from('96.4 g\r')).bytes).toHaveLength(0);
  expect(Buffer.from(guard.pass(Buffer.from('\nabc\nde')).bytes).toString()).toBe('abc\nde');
  expect(Buffer.from(guard.pass(Buffer.from('f\n')).bytes).toString()).toBe('f\n');
});

test('whatever comes in whatever pieces: no more than 4 KiB and one piece wait for an ending', () => {
  const piece = fc.oneof(
    fc.uint8Array({ maxLength: 3000 }),
    fc.integer({ min: 1, max: 9000 }).map((length) => new Uint8Array(length).fill(0xf8)),
    fc.constant(Uint8Array.of(LF)),
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 30 }), (pieces) => {
      const guard = createLineGuard(LF);
      let waiting = 0;
      for (const chunk of pieces) {
        const { bytes, over } = guard.pass(chunk);
        if (over) waiting = 0;
        const last = bytes.lastIndexOf(LF);
        waiting = last === -1 ? waiting + bytes.length : bytes.length - 1 - last;
        expect(waiting).toBeLessThanOrEqual(Math.max(MOST_BYTES_WITHOUT_LINE, chunk.length));
      }
    }),
  );
});

test('lines as they come from a scale pass unchanged', () => {
  const guard = createLineGuard(LF, false);
  for (let line = 0; line < 2000; line++) {
    const chunk = Buffer.from('calm,+    296.4 g\r\n');
    expect(guard.pass(chunk)).toEqual({ bytes: chunk, over: false });
  }
});
