/** The body of the screen while a scale is at work: a line of small numbers, and the large one below. */
import { Box, Text } from 'ink';
import { widthOf } from '../facts/textWidth.ts';
import { BigDigits } from './BigDigits.tsx';
import { padRight } from './lineText.ts';
import type { LiveStore } from './liveStore.ts';
import { bandHue } from './palette.ts';
import { brightnessOf, largeNumber, smallNumbers, widestRemaining } from './shownNumbers.ts';
import { useStore, useSurface } from './surface.ts';

interface Props {
  readonly live: LiveStore;
  readonly columns: number;
  readonly rows: number;
  /** Hue of the word. */
  readonly hue: string | undefined;
  /** Drawn large when there is no number to show. */
  readonly word: string;
  /** The word is more important than any number: the scale can't be trusted. */
  readonly wordFirst: boolean;
}

export function Numbers({ live, columns, rows, hue, word, wordFirst }: Props) {
  const view = useStore(live);
  const { coloured } = useSurface();
  const large = wordFirst ? undefined : largeNumber(view);
  const bright = brightnessOf(view, large?.verdict);
  const numbers = smallNumbers(view, large?.caption ?? '', columns);
  return (
    <Box flexDirection="column" height={rows} overflowY="hidden">
      <Text wrap="truncate">
        {numbers.length === 0 && ' '}
        {numbers.map(({ name, text, columns: wide }) => (
          <Text key={name}>
            <Text
              bold={name === 'caption' && (bright === 'bold' || bright === 'inverse')}
              dimColor={name === 'caption' && bright === 'dim'}
              inverse={name === 'caption' && bright === 'inverse'}
            >
              {text}
            </Text>
            {padRight('', wide - widthOf(text))}
          </Text>
        ))}
      </Text>
      {large ? (
        <BigDigits
          text={large.text}
          unit={large.known ? view.unit : ''}
          atLeast={widestRemaining(view)}
          columns={columns}
          rows={rows - 1}
          hue={bandHue(large.verdict, coloured)}
        />
      ) : (
        <BigDigits text={word} columns={columns} rows={rows - 1} hue={hue} />
      )}
    </Box>
  );
}
