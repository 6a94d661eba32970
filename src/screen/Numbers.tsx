/** The body of the screen while a scale is at work: the large number and a panel of small ones beside it. */
import { Box, Text } from 'ink';
import { BigDigits } from './BigDigits.tsx';
import { leftAndRight, padRight } from './lineText.ts';
import type { LiveStore } from './liveStore.ts';
import { largeNumber, panelRows, widestRemaining } from './shownNumbers.ts';
import { useStore } from './surface.ts';
import type { LiveView } from './view.ts';

interface Props {
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
  readonly hue: string | undefined;
  /** Drawn large when there is no number to show. */
  readonly word: string;
  /** The word is more important than any number: the scale can't be trusted. */
  readonly wordFirst: boolean;
}

/** Columns of the panel: room for `scale  2199.6 g`. */
const panelColumns = (columns: number) => (columns >= 100 ? 24 : 18);

export function Numbers({ live, columns, rows, hue, word, wordFirst }: Props) {
  const view = useStore(live);
  const panel = panelColumns(columns);
  const large = wordFirst ? undefined : largeNumber(view);
  return (
    <Box height={rows} overflow="hidden">
      <Panel view={view} caption={large?.caption} columns={panel} rows={rows} />
      <Box width={1} />
      {large ? (
        <BigDigits
          text={large.text}
          unit={large.known ? view.unit : ''}
          atLeast={widestRemaining(view)}
          columns={columns - panel - 1}
          rows={rows}
          align="right"
          hue={large.known ? hue : undefined}
        />
      ) : (
        <BigDigits text={word} columns={columns - panel - 1} rows={rows} align="right" hue={hue} />
      )}
    </Box>
  );
}

interface PanelProps {
  readonly view: LiveView;
  readonly caption: string | undefined;
  readonly columns: number;
  readonly rows: number;
}

function Panel({ view, caption, columns, rows }: PanelProps) {
  const numbers = panelRows(view).slice(0, rows - 2);
  const air = Math.max(0, rows - numbers.length - 1);
  return (
    <Box flexDirection="column" width={columns} height={rows} overflow="hidden">
      <Text bold wrap="truncate">
        {padRight(caption ?? '', columns)}
      </Text>
      {air > 0 && <Box height={air} flexShrink={0} />}
      {numbers.map(({ name, value }) => (
        <Text key={name} wrap="truncate">
          {leftAndRight(name, value, columns)}
        </Text>
      ))}
    </Box>
  );
}
