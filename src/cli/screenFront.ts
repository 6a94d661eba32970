/** The bench on the terminal's screen. */

import { liveViewOf } from '../screen/fill/live.ts';
import { openScreen } from '../screen/openScreen.tsx';
import type { Front, FrontInput } from './workbench.ts';

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
  const live = (atOnce = false) => screen.live.set(liveViewOf(station.snapshot(), station), atOnce);
  return {
    changed() {
      // While a fact is being written the screen stays as it was: nothing counts yet.
      if (station.snapshot().hasTag('recording')) return;
      screen.setView(controls.view());
      live(true);
    },
    live: () => live(),
    facts() {},
    close: () => screen.close(),
  };
}
