/** Work between draws: its time in large figures, or its word. */
import { useEffect, useState } from 'react';
import { Captioned } from './Captioned.tsx';
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

export function StepCard({ timer, word, columns, rows, hue }: Props) {
  if (timer) return <RunningTime timer={timer} columns={columns} rows={rows} />;
  return <Captioned caption="" text={word} columns={columns} rows={rows} hue={hue} />;
}

function RunningTime({ timer, columns, rows }: { timer: Timer; columns: number; rows: number }) {
  const { clock } = useSurface();
  const [now, setNow] = useState(() => clock.now());
  useEffect(() => clock.later(() => setNow(clock.now()), nextTick(timer, now)), [clock, timer, now]);
  const { text, caption, over } = stepTime(timer, now);
  return <Captioned caption={caption} marked={over} text={text} atLeast="00:00" columns={columns} rows={rows} />;
}
