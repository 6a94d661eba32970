/** A frame goes out as one write; nothing else waits. */
import type { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { inWholeFrames } from '../../src/screen/wholeFrames.ts';

const BEGINS = '\x1b[?2026h';
const ENDS = '\x1b[?2026l';

function terminal() {
  const written: string[] = [];
  const real = {
    columns: 80,
    write(text: string, then?: () => void) {
      expect(this).toBe(real);
      written.push(text);
      then?.();
      return true;
    },
    whose() {
      return this;
    },
  };
  return { written, real, whole: inWholeFrames(real as unknown as NodeJS.WriteStream & PassThrough) };
}

describe('frames', () => {
  it('go out in one write', () => {
    const { written, whole } = terminal();
    whole.write('before');
    for (const part of [BEGINS, 'row 1', 'row 2', ENDS]) whole.write(part);
    whole.write('after');
    expect(written).toEqual(['before', `${BEGINS}row 1row 2${ENDS}`, 'after']);
  });

  it('that was begun goes out before what somebody waits for', () => {
    const { written, whole } = terminal();
    let heard = 0;
    whole.write(BEGINS);
    whole.write('row 1');
    whole.write('', () => {
      heard += 1;
    });
    whole.write(ENDS);
    expect(written).toEqual([`${BEGINS}row 1`, '', ENDS]);
    expect(heard).toBe(1);
  });

  it('come from the same terminal otherwise, whose size may change', () => {
    const { real, whole } = terminal();
    expect((whole as unknown as typeof real).whose()).toBe(real);
    real.columns = 120;
    expect(whole.columns).toBe(120);
  });
});
