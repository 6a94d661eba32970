/**
 * Paints the whole screen anew after the window has changed its size.
 *
 * Ink draws what has changed since its last frame, by moving the cursor from where it left it. A terminal that
 * changes its size moves the text and the cursor in its own way (it may drop rows at the top or at the bottom, or
 * wrap), so what Ink changes then lands in wrong rows: seen with Ink 8.0 when the height shrinks. So after each
 * change of size everything is erased, and Ink is made to forget what it drew.
 */
export interface Painter {
  /** Resolves when all pending frames are written. */
  readonly flush: () => Promise<unknown>;
  /** Makes the drawing library forget its last frame. */
  readonly forget: () => void;
  readonly erase: () => void;
  /** Makes the drawing library draw. */
  readonly draw: () => void;
}

export interface Repainter {
  /** The window has changed its size. May be called again at any time. */
  readonly resized: () => void;
  /** Resolves when the screen is painted and no change of size is waiting. */
  readonly settled: () => Promise<void>;
  readonly stop: () => void;
}

/** Repaints after the last of a burst of changes; changes that come while it paints make it paint once more. */
export function createRepainter({ flush, forget, erase, draw }: Painter): Repainter {
  let asked = false;
  let stopped = false;
  let running: Promise<void> | undefined;

  const run = async () => {
    while (asked && !stopped) {
      asked = false;
      await flush();
      if (stopped) return;
      forget();
      erase();
      draw();
      await flush();
    }
  };

  return {
    resized: () => {
      asked = true;
      running ??= run().finally(() => {
        running = undefined;
      });
    },
    settled: async () => {
      while (running) await running;
    },
    stop: () => {
      stopped = true;
    },
  };
}
