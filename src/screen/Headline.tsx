/** The headline word and the one sentence of what to do now. */
import { Text } from 'ink';
import { sayLines, tagOf } from './benchLines.ts';
import { padRight } from './lineText.ts';
import { lookOf } from './palette.ts';
import { useSurface } from './surface.ts';
import type { BenchView } from './view.ts';

interface Props {
  readonly view: BenchView;
  readonly columns: number;
  readonly rows: number;
}

export function Headline({ view, columns, rows }: Props) {
  const { coloured } = useSurface();
  const { hue, loud } = lookOf(view.mood, coloured);
  // Black on the hue reads well on dark and on light terminals; without hues plain inverse does.
  const marked = hue ? { backgroundColor: hue, color: 'black' } : { inverse: true };
  const tag = tagOf(view);
  const rest = columns - tag.length;
  return sayLines(view, columns)
    .slice(0, rows)
    .map((line, index) => {
      const start = index === 0 ? tag : ' '.repeat(tag.length);
      if (loud) {
        return (
          <Text key={start} bold wrap="truncate" {...marked}>
            {start + padRight(`  ${line}`, rest)}
          </Text>
        );
      }
      return (
        <Text key={start} bold wrap="truncate">
          {index === 0 ? <Text {...marked}>{start}</Text> : start}
          {`  ${line}`}
        </Text>
      );
    });
}
