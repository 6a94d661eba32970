/** The answers that one key gives. The keys stand out by inverse, not by hue. */
import { Box, Text } from 'ink';
import { BETWEEN, choiceLines } from './choiceLines.ts';
import type { Choice } from './view.ts';

interface Props {
  readonly choices: readonly Choice[];
  readonly columns: number;
  readonly rows: number;
}

export function Choices({ choices, columns, rows }: Props) {
  return (
    <Box flexDirection="column" height={rows} overflowY="hidden">
      {choiceLines(choices, columns)
        .slice(0, rows)
        .map((line) => (
          <Text key={line.map(({ key }) => key).join(' ')} wrap="truncate">
            {line.map(({ key, label }, index) => (
              <Text key={key}>
                {index > 0 ? ' '.repeat(BETWEEN) : ''}
                <Text inverse bold>{` ${key} `}</Text>
                {` ${label}`}
              </Text>
            ))}
          </Text>
        ))}
    </Box>
  );
}
