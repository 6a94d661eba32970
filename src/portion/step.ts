/** The reducer of portioning: happenings on the pan and answers of the maker in, facts to be written out. */
import type { Bars } from '../facts/bars.ts';
import { onAnswer } from './answers.ts';
import type { Aim, BarScale, Portion, PortionInput, Stepped } from './model.ts';
import { onHappening, onLive } from './onPan.ts';
import { silent, UNTOLD } from './say.ts';

/** Portioning as it begins, or goes on after a stop: nothing is known of the pan. */
export function beginPortion(scale: BarScale, aim: Aim, bars: Bars): Portion {
  const nothing = { stood: null, lifted: false, unseen: null, ...UNTOLD, changed: null, inHand: null };
  return {
    scale,
    aim,
    bars,
    pan: { state: 'blind', trouble: false, say: null },
    ...nothing,
    ending: false,
    writing: [],
  };
}

/** One step. Never throws. */
export function stepPortion(state: Portion, input: PortionInput): Stepped {
  switch (input.kind) {
    case 'happening':
      return onHappening(state, input.happening);
    case 'live':
      return silent(onLive(state, input.load));
    case 'written':
      return silent({ ...state, bars: input.bars, writing: state.writing.slice(input.count) });
    case 'answer':
      // Nothing is decided on what is not written yet.
      return state.writing.length > 0 ? silent(state) : onAnswer(state, input.answer);
  }
}
