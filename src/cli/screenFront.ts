/** The bench on the terminal's screen. */

import { liveViewOf } from '../screen/fill/live.ts';
import { openScreen } from '../screen/openScreen.tsx';
import type { Front, FrontInput } from './workbench.ts';

/** Said while more is coming in than the band has room for. */
const STOP = { mood: 'hold', headline: 'STOP', say: 'Too much. Hands off, and let the pan come to rest.' } as const;

/** @throws Error when one of the two is no terminal */
export function openScreenFront({ station, controls, otherKey }: FrontInput): Front {
  const screen = openScreen({
    stdout: process.stdout,
    stdin: process.stdin,
    environment: process.env,
    first: controls.view(),
    onKey: (input) => {
      if ('key' in input && controls.press(input.key)) return;
      otherKey(input);
    },
    onAnswer: (text) => {
      controls.typed(text);
    },
  });
  let tooMuch = false;
  const view = () => (tooMuch ? { ...controls.view(), ...STOP } : controls.view());
  const live = (atOnce = false) => {
    const numbers = liveViewOf(station.snapshot(), station);
    screen.live.set(numbers, atOnce);
    // The word to stop does not wait until the pan has come to rest: the hand is still pouring.
    const { lane, fresh, state } = numbers;
    const isTooMuch = fresh && state === 'moving' && lane !== undefined && lane.net > lane.high;
    if (isTooMuch === tooMuch || station.snapshot().hasTag('recording')) return;
    tooMuch = isTooMuch;
    screen.setView(view());
  };
  return {
    changed() {
      // While a fact is being written the screen stays as it was: nothing counts yet.
      if (station.snapshot().hasTag('recording')) return;
      screen.setView(view());
      live(true);
    },
    live: () => live(),
    facts() {},
    close: () => screen.close(),
  };
}
