/** A number, a time or a word as large as the room allows; written small where it can't be drawn large. */
import { Box } from 'ink';
import { Cells } from './Cells.tsx';
import { columnsOf, type DotSize, drawLarge, type Ink, largestThatFits, rowsOf } from './digits.ts';
import { useSurface } from './surface.ts';

interface Props {
  readonly text: string;
  /** Written after the text, smaller. */
  readonly unit?: string;
  readonly columns: number;
  readonly rows: number;
  /** Size and place are chosen so that this fits too: the longest text that is to come, so that nothing jumps. */
  readonly atLeast?: string;
  readonly hue?: string | undefined;
}

export function BigDigits({ text, unit = '', columns, rows, atLeast = '', hue }: Props) {
  const { ink } = useSurface();
  const lines = bigLines({ text, unit, columns, rows, atLeast, ink });
  const top = Math.max(0, Math.floor((rows - lines.length) / 2));
  return (
    <Box flexDirection="column" height={rows} width={columns} paddingTop={top} overflowY="hidden">
      <Cells text={lines.join('\n')} bold={lines.length === 1} hue={hue} />
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
  readonly ink: Ink;
}

/**
 * The rows of a large text with its unit beside its foot; one plain row when it can't be drawn large. The longest
 * text to come stands in the middle, a shorter one ends where that ends.
 */
export function bigLines({ text, unit, columns, rows, atLeast, ink }: Room): string[] {
  const room = columns - (unit === '' ? 0 : unit.length + UNIT_GAP);
  const longest = (columnsOf(atLeast, ONE) ?? 0) > (columnsOf(text, ONE) ?? 0) ? atLeast : text;
  const size = largestThatFits(longest, room, rows, ink);
  if (!size) return [centre(unit === '' ? text : `${text} ${unit}`, columns)];
  const width = columnsOf(text, size) ?? 0;
  const widest = columnsOf(longest, size) ?? width;
  const foot = unitLines(unit, size, columns - widest - UNIT_GAP, ink);
  const whole = widest + (unit === '' ? 0 : UNIT_GAP + Math.max(...foot.map((row) => row.length)));
  const indent = ' '.repeat(Math.max(0, Math.floor((columns - whole) / 2) + widest - width));
  return drawLarge(text, size, ink).map((row, index, every) => {
    const beside = foot[index - (every.length - foot.length)];
    return (indent + (beside === undefined ? row : row.padEnd(width + UNIT_GAP) + beside)).trimEnd();
  });
}

function centre(text: string, columns: number): string {
  return ' '.repeat(Math.max(0, Math.floor((columns - text.length) / 2))) + text;
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
