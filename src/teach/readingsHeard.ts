/** Lines -> the readings that were heard: how many lines make one, and where each begins. */
import { LONGEST_LINE } from '../wire/decode.ts';
import type { Framing } from '../wire/framing.ts';
import { LINE_JOINT } from '../wire/grouper.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { Line } from '../wire/receiver.ts';
import { cutLines } from './findFraming.ts';
import { cutFrames } from './frameLength.ts';
import { groupLines } from './lineGroups.ts';
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

/** @returns undefined when it can't be told where a reading of several lines begins */
export function findReadings(
  framing: Framing,
  serial: SerialSettings,
  heard: readonly Heard[],
): ReadingsFound | undefined {
  const groups = groupLines(
    heard.map((each) => linesOf(framing, serial, each)),
    serial.baud,
  );
  if (groups === undefined) return undefined;
  const readings = heard.flatMap((each, moment) =>
    (groups[moment] ?? []).map((lines) => ({
      text: lines.map(({ text }) => text).join(LINE_JOINT),
      began: lines[0]?.began ?? 0,
      at: lines.at(-1)?.at ?? 0,
      heard: each,
    })),
  );
  return { linesPerReading: groups.flat()[0]?.length ?? 1, readings };
}

/** All lines, damaged ones too; frames without an end are cut where the pauses are. */
function linesOf(framing: Framing, serial: SerialSettings, heard: Heard): Line[] {
  const { start, end, length } = framing;
  if (start === undefined && end === undefined) {
    return cutFrames(heard, length ?? 0).map((frame) => ({ ...frame, fault: undefined }));
  }
  return cutLines(framing, heard, serial).map((line) =>
    line.text.length <= LONGEST_LINE ? line : { ...line, fault: 'longer than any scale sends' },
  );
}
