/** The keys of portioning, and the pages that they turn to. */
import type { Answer } from '../portion/model.ts';
import { mayKeep, mayLeaveOver, mayPull } from '../portion/step.ts';
import type { PortionPage } from '../screen/fill/portionView.ts';
import type { Clock } from '../signal/clock.ts';
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
    if (page !== 'work') return onPage(key);
    const state = bench.state();
    if (state.pan.state === 'unproved') {
      if (key === 'e') bench.declareEmpty();
      return key === 'e';
    }
    if (state.ending) return atEnd(key);
    if (key === 'k' && mayKeep(state)) return say({ kind: 'keep' });
    if (key === 's' && mayKeep(state)) return say({ kind: 'short' });
    switch (key) {
      case 'u':
        return say({ kind: 'undo' });
      case 'a':
        return say({ kind: 'press', why: 'again' });
      case 'j':
        return say({ kind: 'press', why: 'jam' });
      case 'p':
        return turn('which');
      case 'e':
        return say({ kind: 'end' });
      default:
        return false;
    }
  }

  function onPage(key: string): boolean {
    if (key === 'escape') return turn('work');
    if (typeof page !== 'object') return false;
    const { pull: bar } = page;
    if (key === 'b') return say({ kind: 'pull', bar, back: true, reason: 'taken out by the maker' });
    if (key === 's') return say({ kind: 'pull', bar, back: false, reason: 'set aside by the maker' });
    return false;
  }

  function atEnd(key: string): boolean {
    if (key === 'm') return say({ kind: 'go-on' });
    if (key === 'enter') return say({ kind: 'done' });
    if (!mayLeaveOver(bench.state())) return false;
    if (key === 'o') return say({ kind: 'left-over', what: 'offcut' });
    if (key === 'c') return say({ kind: 'left-over', what: 'crumbs' });
    return false;
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
    get saved() {
      return saved;
    },
  };
}
