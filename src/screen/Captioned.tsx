/** A large text with a line of its own above it, in the same rows in which a weight would stand. */
import { Box, Text } from 'ink';
import { BigDigits } from './BigDigits.tsx';

interface Props {
  readonly caption: string;
  /** The caption calls for attention. */
  readonly marked?: boolean;
  readonly text: string;
  readonly unit?: string;
  readonly atLeast?: string;
  readonly columns: number;
  readonly rows: number;
  readonly hue?: string | undefined;
}

export function Captioned({ caption, marked = false, rows, ...big }: Props) {
  return (
    <Box flexDirection="column" height={rows} overflowY="hidden">
      <Text bold inverse={marked} wrap="truncate">
        {caption === '' ? ' ' : marked ? ` ${caption} ` : caption}
      </Text>
      <BigDigits {...big} rows={rows - 1} />
    </Box>
  );
}
