/** The bench on the terminal's screen. */

import { cueShown, isSameCue, NO_CUE_SHOWN, withCue } from '../../screen/fill/cue.ts';
import { liveViewOf } from '../../screen/fill/live.ts';
import { openScreen, type ScreenOptions } from '../../screen/openScreen.tsx';
import { drawNow } from '../../weighing/look.ts';
import type { CueSound } from './cueSound.ts';
import { createScanGate } from './scanGate.ts';
import type { Front, FrontInput } from './workbench.ts';

/** Where it is drawn; by default the process's own terminal. */
export type ScreenPlace = Pick<ScreenOptions, 'stdout' | 'stdin' | 'environment' | 'clock'>;

/**
 * @param sound says cues aloud; default: silence
 * @throws Error when one of the two is no terminal
 */
export function openScreenFront(
  { station, controls, labels, otherKey }: FrontInput,
  sound?: CueSound,
  place: ScreenPlace = { stdout: process.stdout, stdin: process.stdin, environment: process.env },
): Front {
  /** What a label said, until the next key. */
  let said: { readonly ok: boolean; readonly say: string } | undefined;
  const gate = createScanGate();
  const tell = (what: typeof said) => {
    if (said === what) return;
    said = what;
    screen.setView(view());
  };
  const screen = openScreen({
    ...place,
    first: controls.view(),
    onKey: (input) => {
      const is = gate(input, performance.now());
      if ('paste' in input) {
        if (is === 'label' || labels.isLabel(input.paste)) tell(labels.read(input.paste));
      } else if (is === 'key') {
        tell(undefined);
        if (controls.press(input.key)) return;
        const hint = controls.hint(input.key);
        if (hint !== undefined) tell({ ok: true, say: hint });
        otherKey(input);
      }
    },
    onAnswer: (text) => {
      controls.typed(text);
    },
  });
  let cue = NO_CUE_SHOWN;
  const view = () => {
    const shown = withCue(controls.view(), cue);
    if (said?.ok === false) return { ...shown, cautions: [said.say, ...shown.cautions] };
    const foot = said?.say ?? sound?.trouble;
    return foot === undefined ? shown : { ...shown, foot };
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
    // What another scale says changes no number here; what it means comes through the chart.
    live(scale) {
      if (drawNow(station.snapshot().context)?.scale === scale) live();
    },
    told: (say) => tell({ ok: false, say }),
    facts() {},
    async close() {
      sound?.close();
      await screen.close();
    },
  };
}
