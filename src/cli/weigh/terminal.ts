/** Gives the terminal back clean, however the program ends. */
import { restoreTerminal } from '../../screen/restoreTerminal.ts';

export interface TerminalGuard {
  /** What a polite signal does first. */
  onSignal(leave: () => void): void;
  release(): void;
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** @param onScreen whether the screen is in use */
export function guardTerminal(onScreen: boolean): TerminalGuard {
  let leave: (() => void) | undefined;
  const restore = () => {
    if (!onScreen) return;
    restoreTerminal(process.stdout);
    if (process.stdin.isTTY) process.stdin.setRawMode(false);
  };
  const onSignal = (signal: NodeJS.Signals) => {
    if (leave && signal !== 'SIGHUP') {
      leave();
      return;
    }
    restore();
    process.exit(1);
  };
  const onCrash = (error: unknown) => {
    restore();
    process.stderr.write(
      `bismar broke: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}\nAll that was accepted is in the batch log; \`bismar resume\` goes on from there.\n`,
    );
    process.exit(1);
  };
  for (const signal of SIGNALS) process.on(signal, onSignal);
  process.on('uncaughtException', onCrash);
  process.on('unhandledRejection', onCrash);
  return {
    onSignal(run) {
      leave = run;
    },
    release() {
      for (const signal of SIGNALS) process.off(signal, onSignal);
      process.off('uncaughtException', onCrash);
      process.off('unhandledRejection', onCrash);
    },
  };
}
