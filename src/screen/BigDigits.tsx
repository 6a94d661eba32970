/** A number, a time or a word as large as the room allows; written small where it can't be drawn large. */
import { Box, Text } from 'ink';
import { columnsOf, type DotSize, drawLarge, type Ink, largestThatFits, rowsOf } from './digits.ts';
import { padLeft } from './lineText.ts';
import { useSurface } from './surface.ts';

interface Props {
  readonly text: string;
  /** Written after the text, smaller. */
  readonly unit?: string;
  readonly columns: number;
  readonly rows: number;
  /** The size is chosen so that this fits too: the longest text that is to come, so that the size does not jump. */
  readonly atLeast?: string;
  readonly align: 'left' | 'right';
  readonly hue?: string | undefined;
}

export function BigDigits({ text, unit = '', columns, rows, atLeast = '', align, hue }: Props) {
  const { ink } = useSurface();
  const lines = bigLines({ text, unit, columns, rows, atLeast, align, ink });
  const top = Math.max(0, Math.floor((rows - lines.length) / 2));
  return (
    <Box flexDirection="column" height={rows} width={columns} paddingTop={top} overflow="hidden">
      <Text bold wrap="truncate" {...(hue ? { color: hue } : {})}>
        {lines.join('\n')}
      </Text>
    </Box>
  );
}

/** Columns between a number and its unit. */
const UNIT_GAP = 2;

interface Room {
  readonly text: string;
  readonly unit: string;
  readonly columns: number;
  readonly rows: number;
  readonly atLeast: string;
  readonly align: 'left' | 'right';
  readonly ink: Ink;
}

/** The rows of a large text with its unit beside its foot; one plain row when it can't be drawn large. */
export function bigLines({ text, unit, columns, rows, atLeast, align, ink }: Room): string[] {
  const small = unit === '' ? text : `${text} ${unit}`;
  const plain = [align === 'right' ? padLeft(small, columns) : small];
  const room = columns - (unit === '' ? 0 : unit.length + UNIT_GAP);
  const longest = (columnsOf(atLeast, ONE) ?? 0) > (columnsOf(text, ONE) ?? 0) ? atLeast : text;
  const size = largestThatFits(longest, room, rows, ink) ?? largestThatFits(text, room, rows, ink);
  if (!size) return plain;
  const width = columnsOf(text, size) ?? 0;
  const foot = unitLines(unit, size, columns - width - UNIT_GAP, ink);
  const all = drawLarge(text, size, ink).map((row, index, every) => {
    const beside = foot[index - (every.length - foot.length)];
    return beside === undefined ? row : row.padEnd(width + UNIT_GAP) + beside;
  });
  if (align === 'left') return all;
  const unitWidth = unit === '' ? 0 : UNIT_GAP + Math.max(...foot.map((row) => row.length));
  const indent = ' '.repeat(Math.max(0, columns - width - unitWidth));
  return all.map((row) => (row === '' ? '' : indent + row));
}

const ONE: DotSize = { wide: 1, high: 1 };

/** The unit at about half the size of its number, or in plain letters. */
function unitLines(unit: string, beside: DotSize, columns: number, ink: Ink): string[] {
  if (unit === '') return [];
  const half = { wide: Math.floor(beside.wide / 2), high: Math.floor(beside.high / 2) };
  const needed = columnsOf(unit, half);
  const drawable = half.wide >= 1 && half.high >= 1 && (ink === 'block' || half.high % 2 === 0);
  if (!drawable || needed === undefined || needed > columns || rowsOf(half) > rowsOf(beside)) return [unit];
  return drawLarge(unit, half, ink).map((row) => row.padEnd(needed));
}
