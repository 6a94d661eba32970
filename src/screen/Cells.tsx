/**
 * Lines drawn with block elements and box lines. Ink measures every text anew for each frame, and over what is not ASCII it
 * takes more than ten times as long: a third of a frame went into the large digits and the lane. So it lays out stand-ins
 * of one column each, and puts in what they stand for when it writes them.
 */
import { Text, Transform } from 'ink';

interface Props {
  /** One or more lines, separated by line feeds. Every character takes one column. */
  readonly text: string;
  /** Text after it in the same lines is not coloured. */
  readonly rest?: string;
  readonly bold?: boolean;
  readonly hue?: string | undefined;
}

/** None of the stand-ins occurs in an escape sequence for colour or weight, as Ink has those around the text by then. */
const STAND_INS: readonly (readonly [string, string])[] = [
  ['\u2588', '#'],
  ['\u2580', '"'],
  ['\u2584', '_'],
  ['\u2503', '!'],
  ['\u2500', '~'],
  ['\u2550', '='],
  ['\u2534', '^'],
];
const STAND_IN_FOR = new Map(STAND_INS);
const STANDS_FOR = new Map(STAND_INS.map(([cell, standIn]) => [standIn, cell]));
const BLOCKS = /[\u2588\u2580\u2584\u2503\u2500\u2550\u2534]/g;
const OWN = /[#"_!~=^]/;
const EVERY_OWN = /[#"_!~=^]/g;

const asStandIns = (text: string): string => text.replace(BLOCKS, (cell) => STAND_IN_FOR.get(cell) ?? cell);
const asCells = (line: string): string => line.replace(EVERY_OWN, (standIn) => STANDS_FOR.get(standIn) ?? standIn);

export function Cells({ text, rest = '', bold = false, hue }: Props) {
  const whole = text + rest;
  const draw = (cells: (line: string) => string) => (
    <Text bold={bold} wrap="truncate">
      <Text {...(hue ? { color: hue } : {})}>{cells(text)}</Text>
      {cells(rest)}
    </Text>
  );
  // A word that holds such a character itself, and all that is drawn with nothing but ASCII, is measured quickly anyway.
  if (OWN.test(whole)) return draw((line) => line);
  return (
    <Transform transform={asCells} accessibilityLabel={whole}>
      {draw(asStandIns)}
    </Transform>
  );
}
