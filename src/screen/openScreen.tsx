/** Opens the screen on a terminal and closes it again. */
import { render } from 'ink';
import { cleanBench } from './cleanView.ts';
import { type Clock, createLiveStore, createStore, type LiveStore } from './liveStore.ts';
import { drawsBlocks, type Environment, wantsColour } from './palette.ts';
import { Screen } from './Screen.tsx';
import { SurfaceContext } from './surface.ts';
import type { BenchView, Pressed } from './view.ts';

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
  const surface = {
    ink: drawsBlocks(environment) ? ('block' as const) : ('ascii' as const),
    coloured: wantsColour(environment),
    clock,
  };
  const app = render(
    <SurfaceContext value={surface}>
      <Screen bench={bench} live={live} onKey={onKey} onAnswer={onAnswer} />
    </SurfaceContext>,
    {
      stdout,
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
  open.set(stdout, () => app.unmount());
  return {
    setView: (view) => bench.set(cleanBench(view)),
    live,
    drawn: () => app.waitUntilRenderFlush(),
    close: async () => {
      live.stop();
      open.delete(stdout);
      app.unmount();
      await ended;
    },
  };
}

/** What closes the screen of a terminal at once. */
const open = new Map<object, () => void>();

/**
 * Gives the terminal back at once, whatever state it is in: the main screen, a visible cursor, plain attributes, no
 * bracketed paste. For crashes and signals: it waits for nothing and throws nothing. Harmless when no screen is open
 * or when called twice: the main screen is returned to once only, since that also moves the cursor.
 */
export function restoreTerminal(stdout: { write(text: string): unknown }): void {
  const closeNow = open.get(stdout);
  open.delete(stdout);
  let leave = '';
  try {
    closeNow?.();
  } catch {
    leave = '\x1b[?1049l';
  }
  try {
    stdout.write(`\x1b[?2026l\x1b[?2004l\x1b[0m${leave}\x1b[?25h`);
  } catch {
    // The terminal is gone: there is nothing left to restore.
  }
}
