/** Lines -> the readings that were heard: how many lines make one, and where each begins. */
import type { Framing } from '../wire/framing.ts';
import { LINE_JOINT } from '../wire/grouper.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { Line } from '../wire/receiver.ts';
import { cutLines } from './findFraming.ts';
import { burstsOf } from './frameLength.ts';
import type { Heard } from './model.ts';

/** One reading of an unknown scale: text only. */
export interface ReadingHeard {
  readonly text: string;
  readonly began: number;
  readonly at: number;
  /** In which moment. */
  readonly heard: Heard;
}

export interface ReadingsFound {
  readonly linesPerReading: number;
  readonly readings: readonly ReadingHeard[];
}

/** Lines that follow each other within this belong together, milliseconds. */
const AT_ONCE = 30;
const MOST_LINES = 6;

/** @returns undefined when it can't be told where a reading of several lines begins */
export function findReadings(
  framing: Framing,
  serial: SerialSettings,
  heard: readonly Heard[],
): ReadingsFound | undefined {
  const moments = heard.map((each) => ({ heard: each, lines: linesOf(framing, serial, each) }));
  const perReading = inBursts(moments.map(({ lines }) => lines));
  if (perReading === undefined) return undefined;
  const readings = moments.flatMap(({ heard: each, lines }) =>
    splitAtPauses(lines)
      .filter((burst) => burst.length === perReading || perReading === 1)
      .flatMap((burst) => (perReading === 1 ? burst.map((line) => [line]) : [burst]))
      .map((group) => ({
        text: group.map(({ text }) => text).join(LINE_JOINT),
        began: group[0]?.began ?? 0,
        at: group.at(-1)?.at ?? 0,
        heard: each,
      })),
  );
  return { linesPerReading: perReading, readings };
}

/** The undamaged lines; frames without an end are cut where the pauses are. */
function linesOf(framing: Framing, serial: SerialSettings, heard: Heard): Line[] {
  const { start, end, length } = framing;
  if (start === undefined && end === undefined) {
    return burstsOf(heard)
      .filter(({ text }) => text.length === length)
      .map((burst) => ({ ...burst, fault: undefined }));
  }
  return cutLines(framing, heard, serial).filter(({ fault }) => fault === undefined);
}

function splitAtPauses(lines: readonly Line[]): Line[][] {
  const bursts: Line[][] = [];
  for (const [index, line] of lines.entries()) {
    const before = lines[index - 1];
    if (before === undefined || line.began - before.at > AT_ONCE) bursts.push([line]);
    else bursts.at(-1)?.push(line);
  }
  return bursts;
}

/** How many lines come at once, each time; 1 when lines come one by one or without any pause. */
function inBursts(moments: readonly (readonly Line[])[]): number | undefined {
  const counts = new Map<number, number>();
  let all = 0;
  for (const lines of moments) {
    // The first and the last of a moment may have been cut.
    const bursts = splitAtPauses(lines);
    for (const { length } of bursts.length > 2 ? bursts.slice(1, -1) : bursts) {
      counts.set(length, (counts.get(length) ?? 0) + 1);
      all += 1;
    }
  }
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [1, 0];
  if (times >= 0.85 * all) return usual <= MOST_LINES ? usual : undefined;
  // Without pauses: lines that are all alike are one reading each; else nobody can tell where one begins.
  const shapes = new Set(
    moments.flat().map(({ text }) => text.replace(/[\d.,+\- ]+/g, '0').replace(/[A-Za-z]+/g, 'a')),
  );
  return shapes.size <= 3 ? 1 : undefined;
}
