/** The bench on the terminal's screen. */

import { cueShown, isSameCue, NO_CUE_SHOWN, withCue } from '../screen/fill/cue.ts';
import { liveViewOf } from '../screen/fill/live.ts';
import { openScreen } from '../screen/openScreen.tsx';
import type { CueSound } from './cueSound.ts';
import type { Front, FrontInput } from './workbench.ts';

/**
 * @param sound says cues aloud; default: silence
 * @throws Error when one of the two is no terminal
 */
export function openScreenFront({ station, controls, otherKey }: FrontInput, sound?: CueSound): Front {
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
  let cue = NO_CUE_SHOWN;
  const view = () => {
    const shown = withCue(controls.view(), cue);
    return sound?.trouble === undefined ? shown : { ...shown, foot: sound.trouble };
  };
  const live = (atOnce = false) => {
    const numbers = liveViewOf(station.snapshot(), station);
    screen.live.set(numbers, atOnce);
    // The cue does not wait until the pan has come to rest: the hand is still pouring.
    const next = cueShown(numbers);
    if (isSameCue(next, cue) || station.snapshot().hasTag('recording')) return;
    cue = next;
    sound?.say(cue.tooMuch ? 'stop' : cue.cue);
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
    async close() {
      sound?.close();
      await screen.close();
    },
  };
}
