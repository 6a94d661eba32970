/**
 * Frames without an end, and readings of several lines, are cut where the pattern fits. So the pattern must fit in one
 * place only; a profile's examples, one after the other, are the proof.
 */
import { decode } from './decode.ts';
import { unwrap, wrap } from './framing.ts';
import { LINE_JOINT } from './grouper.ts';
import type { Profile } from './profile.ts';

/** Whether a text is as long as the profile's frames, where these have a length. */
export function fitsFrame({ framing, serial }: Profile, text: string): boolean {
  const { start = '', length } = framing;
  return length === undefined || wrap(framing, text, serial.dataBits).length === start.length + length;
}

/** @returns what was expected of the pattern; undefined when the examples can be cut in one way only */
export function misplacedCut(profile: Profile, examples: readonly { readonly line: string }[]): string | undefined {
  const lines = examples.map(({ line }) => line).filter((line) => decode(profile, line, 0).kind !== 'refused');
  for (const first of lines) {
    for (const second of lines) {
      const wrong = [...shiftedFrames(profile, first, second), ...shiftedGroups(profile, first, second)].find(
        (text) => decode(profile, text, 0).kind !== 'refused',
      );
      if (wrong !== undefined) {
        return `a pattern that fits in one place only (the end of one example and the beginning of the next fit as \`${wrong}\`)`;
      }
    }
  }
  return undefined;
}

function shiftedFrames({ framing, serial }: Profile, first: string, second: string): string[] {
  const { length, start } = framing;
  if (length === undefined || start !== undefined) return [];
  const stream = wrap(framing, first, serial.dataBits) + wrap(framing, second, serial.dataBits);
  return Array.from({ length: length - 1 }, (_, index) => stream.slice(index + 1, index + 1 + length)).flatMap(
    (body) => {
      const { text, fault } = unwrap(framing, body, '', serial.dataBits);
      return fault === undefined ? [text] : [];
    },
  );
}

function shiftedGroups({ linesPerReading }: Profile, first: string, second: string): string[] {
  if (linesPerReading === 1) return [];
  const lines = `${first}${LINE_JOINT}${second}`.split(LINE_JOINT);
  return Array.from({ length: linesPerReading - 1 }, (_, index) =>
    lines.slice(index + 1, index + 1 + linesPerReading).join(LINE_JOINT),
  );
}
