/**
 * What a cue changes in the words of the present draw. The three that let the hand go on stand at the number
 * (`shownNumbers.ts`), where the eye is; `stop` takes the whole headline.
 */
import type { Cue } from '../../signal/cue.ts';
import type { BenchView, LiveView } from '../view.ts';

const STOP = { mood: 'hold', headline: 'STOP', say: 'Hands off: what still comes makes it up.' } as const;

/** More has come in than the band has room for, and the pan still moves. */
const TOO_MUCH = {
  mood: 'hold',
  headline: 'STOP',
  say: 'Too much. Hands off, and let the pan come to rest.',
} as const;

/** What of the live view changes the words. */
export interface CueShown {
  readonly cue: Cue | undefined;
  readonly tooMuch: boolean;
  readonly learnt: string | undefined;
}

export const NO_CUE_SHOWN: CueShown = { cue: undefined, tooMuch: false, learnt: undefined };

export function cueShown({ cue, learnt, lane, fresh, state }: LiveView): CueShown {
  return { cue, learnt, tooMuch: fresh && state === 'moving' && lane !== undefined && lane.net > lane.high };
}

export function isSameCue(a: CueShown, b: CueShown): boolean {
  return a.cue === b.cue && a.tooMuch === b.tooMuch && a.learnt === b.learnt;
}

/** The view with the cue. Only while a draw is below its band: what the chart says of the band stands above any cue. */
export function withCue(view: BenchView, { cue, tooMuch, learnt }: CueShown): BenchView {
  if (tooMuch && view.mood !== 'hold') return { ...view, ...TOO_MUCH };
  if (view.mood !== 'pour' || cue === undefined) return view;
  const detail = learnt === undefined ? view.detail : [...view.detail.slice(0, 1), learnt, ...view.detail.slice(1)];
  return cue === 'stop' ? { ...view, ...STOP, detail } : { ...view, detail };
}
