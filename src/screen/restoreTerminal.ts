/** Giving a terminal back without waiting. Loads nothing of Ink, so that every command can afford it. */

/** What closes the screen of a terminal at once, by terminal. */
export const openScreens = new Map<object, () => void>();

/**
 * Gives the terminal back at once, whatever state it is in: the main screen, a visible cursor, plain attributes, no
 * bracketed paste. For crashes and signals: it waits for nothing and throws nothing. Harmless when no screen is open
 * or when called twice: the main screen is returned to once only, since that also moves the cursor.
 */
export function restoreTerminal(stdout: { write(text: string): unknown }): void {
  const closeNow = openScreens.get(stdout);
  openScreens.delete(stdout);
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
