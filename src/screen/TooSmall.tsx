/** A terminal too small for the screen: says so, and still shows what matters most. */
import { Box, Text } from 'ink';
import { cutToWidth } from '../facts/textWidth.ts';
import { breakLines } from './lineText.ts';
import type { LiveStore } from './liveStore.ts';
import { LEAST_COLUMNS, LEAST_ROWS } from './room.ts';
import { largeNumber } from './shownNumbers.ts';
import { useStore } from './surface.ts';
import type { BenchView } from './view.ts';

interface Props {
  readonly view: BenchView;
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
}

export function TooSmall({ view, live, columns, rows }: Props) {
  const now = useStore(live);
  const large = largeNumber(now);
  const number = large ? ` ${large.text}${large.known ? ` ${now.unit}` : ''} ${large.caption}` : '';
  const advice =
    `This window has ${columns} x ${rows} characters; the bench needs ${LEAST_COLUMNS} x ${LEAST_ROWS}. ` +
    'Make it larger, or its letters smaller. Nothing is lost.';
  const lines = [...breakLines(view.say, columns, 2), ...breakLines(advice, columns, 4)];
  return (
    <Box flexDirection="column" width={columns} height={Math.max(1, rows - 1)} overflowY="hidden">
      <Text bold inverse wrap="truncate">
        {cutToWidth(view.headline + number, columns)}
      </Text>
      <Text wrap="truncate">{lines.slice(0, Math.max(0, rows - 2)).join('\n')}</Text>
    </Box>
  );
}
