/** The keys of portioning, and the pages that they turn to. */

import { lastBar, mayKeep, mayLeaveOver, mayPull } from '../../portion/answers.ts';
import type { Answer, Portion } from '../../portion/model.ts';
import { bareOf, mayBeLiner } from '../../portion/onPan.ts';
import { unweighed } from '../../portion/running.ts';
import type { PortionPage } from '../../screen/fill/portionView.ts';
import type { Clock } from '../../signal/clock.ts';
import type { PortionBench } from './portionBench.ts';

export interface PortionControls {
  /** @returns whether the key means something now */
  press(key: string): boolean;
  /** The number that was asked for. @returns a sentence when it is none */
  typed(text: string): string | undefined;
  /** A bar was counted. */
  counted(): void;
  readonly page: PortionPage;
  readonly saved: boolean;
  /** What the last key wrote down, or why it did nothing: a sentence, for as long as that holds; else null. */
  readonly why: string | null;
}

export interface PortionControlsInput {
  readonly bench: PortionBench;
  readonly clock: Clock;
  readonly savedMs: number;
  readonly onLeave: () => void;
  readonly onView: () => void;
}

export function createPortionControls(input: PortionControlsInput): PortionControls {
  const { bench, clock, savedMs, onLeave, onView } = input;
  let page: PortionPage = 'work';
  let saved = false;
  let timer: unknown;
  let why: { readonly say: string; readonly as: string } | undefined;
  /** What a key wrote down beside the weighing; said until the next key, or until something comes onto the pan or off it. */
  let noted: { readonly say: string; readonly pan: string } | undefined;

  /** What the words depend on: once it changes, what was said of a key is past. */
  const asItIs = (): string => {
    const { pan, stood, inHand, ending, bars, writing } = bench.state();
    return JSON.stringify([pan.state, stood?.dwelt, inHand?.why, ending, bars.bars.length, writing.length, page]);
  };
  const refuse = (say: string): false => {
    why = { say, as: asItIs() };
    onView();
    return false;
  };
  /** A tremble of the empty pan is no change. */
  const onPan = (): string => {
    const state = bench.state();
    return bareOf(state, state.most) ?? state.pan.state;
  };
  const note = (say: string): void => {
    noted = { say, pan: onPan() };
    saved = false;
  };
  const turn = (to: PortionPage): true => {
    page = to;
    onView();
    return true;
  };
  const say = (answer: Answer): true => {
    page = 'work';
    bench.answer(answer);
    onView();
    return true;
  };

  function press(key: string): boolean {
    if (key === 'q' || key === 'ctrl+c') {
      onLeave();
      return true;
    }
    if (bench.failure() !== null) {
      if (key === 'enter') bench.retry();
      return key === 'enter';
    }
    why = undefined;
    noted = undefined;
    if (page !== 'work') return onPage(key);
    const state = bench.state();
    if (state.writing.length > 0) return refuse('The last weight is being written down. Press it again.');
    if (state.pan.state === 'unproved') {
      if (key === 'e') bench.declareEmpty();
      return key === 'e';
    }
    if (state.ending) return atEnd(key);
    if (key === 'k' && mayKeep(state)) return say({ kind: 'keep' });
    if (key === 's' && mayKeep(state)) return say({ kind: 'short' });
    if (key === 'k' || key === 's') return refuse(whyNotKept(state));
    if (key === 'l' && mayBeLiner(state)) {
      bench.declareEmpty();
      return true;
    }
    switch (key) {
      case 'u':
        return undo();
      case 'a':
        return pressed('again');
      case 'j':
        return pressed('jam');
      case 'p':
        return turn('which');
      case 'e':
        return say({ kind: 'end' });
      default:
        return false;
    }
  }

  function undo(): boolean {
    const state = bench.state();
    if (lastBar(state) === undefined) return refuse('No bar is in the lot that could go back into the mix.');
    if (state.inHand !== null)
      return refuse('First put back the bar in your hand. Then u takes the bar before it back.');
    note(`Bar ${lastBar(state)} is taken back: its mix goes back to the rest.`);
    return say({ kind: 'undo' });
  }

  function pressed(how: 'again' | 'jam'): boolean {
    const state = bench.state();
    const last = lastBar(state);
    if (last === undefined) return refuse('No bar has been counted yet that could have been pressed.');
    const happened = how === 'jam' ? `the press jammed on bar ${last}` : `bar ${last} was pressed again`;
    note(`Noted: ${happened}.`);
    return say({ kind: 'press', why: how });
  }

  function onPage(key: string): boolean {
    if (key === 'escape') return turn('work');
    if (page === 'really') return key === 'enter' && say({ kind: 'done' });
    if (typeof page !== 'object') return false;
    const { pull: bar } = page;
    if (key !== 'b' && key !== 's') return false;
    const back = key === 'b';
    note(`Bar ${bar} is taken out of the lot${back ? ': its mix goes back to the rest' : ', and set aside'}.`);
    return say({ kind: 'pull', bar, back, reason: back ? 'taken out by the maker' : 'set aside by the maker' });
  }

  function atEnd(key: string): boolean {
    if (key === 'm') return say({ kind: 'go-on' });
    const state = bench.state();
    if (key === 'enter') return unweighed(state.bars) === null ? say({ kind: 'done' }) : turn('really');
    if (key !== 'o' && key !== 'c') return false;
    if (!mayLeaveOver(state)) return refuse(whyNotLeftOver(state));
    if (key === 'o') return say({ kind: 'left-over', what: 'offcut' });
    return say({ kind: 'left-over', what: 'crumbs' });
  }

  return {
    press,
    typed(text) {
      if (page !== 'which') return undefined;
      const number = /^\d{1,6}$/.test(text.trim()) ? Number(text.trim()) : Number.NaN;
      if (!mayPull(bench.state(), number)) return 'There is no such bar in the lot.';
      turn({ pull: number });
      return undefined;
    },
    counted() {
      clock.clearTimeout(timer);
      noted = undefined;
      saved = savedMs > 0;
      if (!saved) return;
      timer = clock.setTimeout(() => {
        saved = false;
        onView();
      }, savedMs);
    },
    get page() {
      return page;
    },
    get why() {
      if (noted !== undefined && noted.pan === onPan()) return noted.say;
      noted = undefined; // it does not come back when the pan is as it was then
      return why !== undefined && why.as === asItIs() ? why.say : null;
    },
    get saved() {
      return saved;
    },
  };
}

function whyNotKept({ inHand }: Portion): string {
  if (inHand === null) return 'There is nothing to keep: k and s are for a bar that was lifted off outside its band.';
  return 'It did not stand long enough to be believed: put it back, let it stand, lift it, then press it again.';
}

function whyNotLeftOver({ pan, stood }: Portion): string {
  if (pan.state !== 'loaded') return 'Nothing is written down yet: put it on the pan, and wait for WHICH.';
  if (stood?.dwelt === false && !pan.moving && !stood.doubted) {
    return 'Nothing is written down yet, or it is already: wait for WHICH, or take it off.';
  }
  return 'Nothing is written down yet: let it stand still until it says WHICH.';
}
