/**
 * The live number, kept outside of React and let through at a pace that an eye can follow.
 *
 * Three things matter more than the pace: the last value always arrives (it is what the scale shows at rest), the
 * first one after a pause arrives at once, and the loss of the scale is never held back.
 */
import { cleanLive } from './cleanView.ts';
import { type LiveView, NO_LIVE } from './view.ts';

/** Time as the screen needs it; handed in, so that tests hold the hands of the clock. */
export interface Clock {
  /** Monotonic milliseconds. */
  now(): number;
  /** Calls back once after so many milliseconds; the returned function calls it off. */
  later(call: () => void, ms: number): () => void;
}

/** A value that React reads from outside (`useSyncExternalStore`). */
export interface Store<T> {
  readonly subscribe: (changed: () => void) => () => void;
  readonly getSnapshot: () => T;
}

export interface LiveStore extends Store<LiveView> {
  /**
   * Takes the newest live view.
   * @param atOnce it belongs to another question than the one before: the old number must not stand under the new words
   */
  readonly set: (view: LiveView, atOnce?: boolean) => void;
  /** Calls off what is still waiting. */
  readonly stop: () => void;
}

/** A plain store: every change is told at once. */
export function createStore<T>(first: T): Store<T> & { readonly set: (value: T) => void } {
  let value = first;
  const listeners = new Set<() => void>();
  return {
    subscribe: (changed) => {
      listeners.add(changed);
      return () => listeners.delete(changed);
    },
    getSnapshot: () => value,
    set: (next) => {
      if (next === value) return;
      value = next;
      for (const changed of listeners) changed();
    },
  };
}

/** About 20 changes a second: more can't be read, and each costs bytes on the terminal. */
const PACE_MS = 50;

/**
 * Makes the store of the live view.
 * @param paceMs the least time between two changes that are let through
 */
export function createLiveStore(clock: Clock, paceMs = PACE_MS): LiveStore {
  const store = createStore<LiveView>(NO_LIVE);
  let shown: LiveView = NO_LIVE;
  let waiting: LiveView | undefined;
  let callOff: (() => void) | undefined;
  let lastAt = Number.NEGATIVE_INFINITY;

  const letThrough = (view: LiveView) => {
    callOff?.();
    callOff = undefined;
    waiting = undefined;
    // Readings of the other scale, and of one at rest, change nothing that is seen: no frame is drawn for them.
    if (isSameView(view, shown)) return;
    shown = view;
    lastAt = clock.now();
    store.set(cleanLive(view));
  };

  return {
    subscribe: store.subscribe,
    getSnapshot: store.getSnapshot,
    set: (view, atOnce = false) => {
      const urgent = view.fresh !== shown.fresh || (view.lane !== undefined) !== (shown.lane !== undefined);
      const wait = lastAt + paceMs - clock.now();
      if (atOnce || urgent || wait <= 0 || isSameView(view, shown)) return letThrough(view);
      waiting = view;
      callOff ??= clock.later(() => {
        callOff = undefined;
        if (waiting) letThrough(waiting);
      }, wait);
    },
    stop: () => {
      callOff?.();
      callOff = undefined;
    },
  };
}

/** Whether nothing that the screen draws differs. */
function isSameView(a: LiveView, b: LiveView): boolean {
  return isSame({ ...a, lane: undefined }, { ...b, lane: undefined }) && isSame(a.lane, b.lane);
}

function isSame<T extends object>(a: T | undefined, b: T | undefined): boolean {
  if (a === undefined || b === undefined) return a === b;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]) as Set<keyof T>;
  return [...keys].every((key) => a[key] === b[key]);
}
