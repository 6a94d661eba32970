/** The list of what must be at hand before the batch begins. */
import { Box, Text } from 'ink';
import { gatherPage, pageCount } from './gatherPages.ts';
import type { GatherLine } from './view.ts';

interface Props {
  readonly list: readonly GatherLine[];
  readonly columns: number;
  readonly rows: number;
  readonly page: number;
}

export function Gather({ list, columns, rows, page }: Props) {
  const lines = gatherPage(list, columns, rows, page);
  const more = pageCount(list, columns, rows) > 1;
  return (
    <Box flexDirection="column" height={rows} overflowY="hidden">
      <Text wrap="truncate">{(more ? lines.slice(0, -1) : lines).join('\n')}</Text>
      {more && (
        <Text bold inverse wrap="truncate">
          {lines.at(-1)}
        </Text>
      )}
    </Box>
  );
}
