/** The list of what must be at hand before the batch begins. */
import { Box, Text } from 'ink';
import { gatherPage } from './gatherPages.ts';
import type { GatherLine } from './view.ts';

interface Props {
  readonly list: readonly GatherLine[];
  readonly columns: number;
  readonly rows: number;
  readonly page: number;
}

export function Gather({ list, columns, rows, page }: Props) {
  return (
    <Box height={rows} overflow="hidden">
      <Text wrap="truncate">{gatherPage(list, columns, rows, page).join('\n')}</Text>
    </Box>
  );
}
