/** Opens the screen on a terminal and closes it again. */
import { render } from 'ink';
import { cleanBench } from './cleanView.ts';
import { type Clock, createLiveStore, createStore, type LiveStore } from './liveStore.ts';
import { drawsBlocks, type Environment, wantsColour } from './palette.ts';
import { createRepainter } from './repaint.ts';
import { openScreens } from './restoreTerminal.ts';
import { Screen } from './Screen.tsx';
import { SurfaceContext } from './surface.ts';
import type { BenchView, Pressed } from './view.ts';
import { inWholeFrames } from './wholeFrames.ts';

export interface ScreenOptions {
  /** The terminal; both ends must be TTYs. */
  readonly stdout: NodeJS.WriteStream;
  readonly stdin: NodeJS.ReadStream;
  readonly environment: Environment;
  readonly first: BenchView;
  /** A key, or a paste; Ctrl+C is a key like any other and closes nothing. */
  readonly onKey: (input: Pressed) => void;
  /** The answer to a question of the kind `number`, as typed. */
  readonly onAnswer?: (text: string) => void;
  /** Default: the process's monotonic clock and timers. */
  readonly clock?: Clock;
}

export interface OpenScreen {
  /** Shows another view of the bench. */
  readonly setView: (view: BenchView) => void;
  /** Takes the live views, as often as they come. */
  readonly live: LiveStore;
  /** Gives the terminal back as it was found; resolves when all is written. */
  readonly close: () => Promise<void>;
  /** Resolves when all that was set is on the terminal; for tests and measurements. */
  readonly drawn: () => Promise<void>;
}

/** Frames a second at most. The live store lets less through; this only bounds what keys and resizing cause. */
const FRAMES = 60;

const HOME_AND_ERASE = '\x1b[H\x1b[2J';

const PROCESS_CLOCK: Clock = {
  now: () => performance.now(),
  later: (call, ms) => {
    const timer = setTimeout(call, ms);
    return () => clearTimeout(timer);
  },
};

/** Opens the screen in the terminal's alternate buffer. */
export function openScreen(options: ScreenOptions): OpenScreen {
  const { stdout, stdin, environment, first, onKey, onAnswer = () => {}, clock = PROCESS_CLOCK } = options;
  const bench = createStore(cleanBench(first));
  const live = createLiveStore(clock);
  const repaints = createStore(0);
  const surface = {
    ink: drawsBlocks(environment) ? ('block' as const) : ('ascii' as const),
    coloured: wantsColour(environment),
    clock,
  };
  // Before the first frame: a key that is typed while the terminal still echoes would push the whole frame up a row,
  // and what is drawn from then on would land in wrong rows.
  if (stdin.isTTY) stdin.setRawMode(true);
  const app = render(
    <SurfaceContext value={surface}>
      <Screen bench={bench} live={live} repaints={repaints} onKey={onKey} onAnswer={onAnswer} />
    </SurfaceContext>,
    {
      stdout: inWholeFrames(stdout),
      stdin,
      alternateScreen: true,
      incrementalRendering: true,
      exitOnCtrlC: false,
      patchConsole: false,
      maxFps: FRAMES,
      interactive: true,
    },
  );
  const ended = app.waitUntilExit();
  openScreens.set(stdout, () => app.unmount());
  const repainter = createRepainter({
    flush: () => app.waitUntilRenderFlush(),
    forget: () => app.clear(),
    erase: () => stdout.write(HOME_AND_ERASE),
    draw: () => repaints.set(repaints.getSnapshot() + 1),
  });
  stdout.on('resize', repainter.resized);
  return {
    setView: (view) => bench.set(cleanBench(view)),
    live,
    drawn: async () => {
      await repainter.settled();
      await app.waitUntilRenderFlush();
    },
    close: async () => {
      stdout.off('resize', repainter.resized);
      repainter.stop();
      live.stop();
      openScreens.delete(stdout);
      app.unmount();
      await ended;
    },
  };
}

export { restoreTerminal } from './restoreTerminal.ts';
