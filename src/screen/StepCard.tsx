/** Work between draws: its time in large figures, or its word. */
import { Box, Text } from 'ink';
import { useEffect, useState } from 'react';
import { BigDigits } from './BigDigits.tsx';
import { padRight } from './lineText.ts';
import { nextTick, stepTime } from './stepTime.ts';
import { useSurface } from './surface.ts';
import type { Timer } from './view.ts';

interface Props {
  readonly timer: Timer | undefined;
  /** Drawn large when no time runs. */
  readonly word: string;
  readonly columns: number;
  readonly rows: number;
  readonly hue: string | undefined;
}

const CAPTION_COLUMNS = 18;

export function StepCard({ timer, word, columns, rows, hue }: Props) {
  if (timer) return <RunningTime timer={timer} columns={columns} rows={rows} />;
  return <BigDigits text={word} columns={columns} rows={rows} align="right" hue={hue} />;
}

function RunningTime({ timer, columns, rows }: { timer: Timer; columns: number; rows: number }) {
  const { clock } = useSurface();
  const [now, setNow] = useState(() => clock.now());
  useEffect(() => clock.later(() => setNow(clock.now()), nextTick(timer, now)), [clock, timer, now]);
  const { text, caption, over } = stepTime(timer, Math.max(now, timer.startedAt));
  return (
    <Box height={rows}>
      <Box width={CAPTION_COLUMNS + 1}>
        <Text bold inverse={over} wrap="truncate">
          {over ? ` ${caption} ` : padRight(caption, CAPTION_COLUMNS)}
        </Text>
      </Box>
      <BigDigits text={text} atLeast="00:00" columns={columns - CAPTION_COLUMNS - 1} rows={rows} align="right" />
    </Box>
  );
}
