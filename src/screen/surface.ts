/** What all parts of the screen share: what the terminal can draw, and the clock. */
import { createContext, useContext, useSyncExternalStore } from 'react';
import type { Ink } from './digits.ts';
import type { Clock, Store } from './liveStore.ts';

export interface Surface {
  readonly ink: Ink;
  readonly coloured: boolean;
  readonly clock: Clock;
}

export const SurfaceContext = createContext<Surface | undefined>(undefined);

/** @throws Error outside of a screen: a mistake in our own code */
export function useSurface(): Surface {
  const surface = useContext(SurfaceContext);
  if (!surface) throw new Error('a part of the screen was drawn outside of it');
  return surface;
}

/** The present value of a store; the part that calls this is drawn anew when it changes. */
export function useStore<T>(store: Store<T>): T {
  return useSyncExternalStore(store.subscribe, store.getSnapshot);
}
