/** What is said when teaching can't go on because of the port. */
import { cleanText } from '../../facts/cleanText.ts';
import { LostPort } from '../../link/listenPort.ts';
import { type PortTroubleKind, portTrouble } from '../../link/portTrouble.ts';
import { Ending, EXIT } from '../exit.ts';
import { Left } from './checkPan.ts';

export const NOTHING_WRITTEN = 'Nothing was written.';

/** Where the usual sentence speaks of the workshop's file, or of going on by itself. */
const SAY: Readonly<Partial<Record<PortTroubleKind, (path: string) => string>>> = {
  busy: (path) =>
    `The port ${path} is in use by another program, perhaps another bismar. Close that one and teach again.`,
  refused: (path) =>
    `${path} refuses the connection: another program may have it, or the number at its end is not the one of the network box. Close the other program, or look at what you gave as --port, and teach again.`,
  'no-serial-port': (path) => `${path} is no serial port. "bismar scale list" shows the ports there are.`,
  'host-unknown': (path) =>
    `The network does not know the name in ${path}. Look at what you gave as --port, or write the network box's address in numbers.`,
  unreachable: (path) =>
    `${path} can't be reached: the network box is off, unplugged or on another network. Look at its power and its cable, and teach again.`,
};

/**
 * @param path as it may be printed
 * @returns the error as it ends the command: one that is not the port's stays what it is
 */
export function portEnding(error: unknown, path: string): unknown {
  if (!(error instanceof Error) || error instanceof Left || error.name !== 'Error') return error;
  if (error instanceof LostPort) {
    return new Ending(
      EXIT.noScale,
      `The port ${path} is gone: cable pulled out or power lost. Plug it in and teach again. ${NOTHING_WRITTEN}`,
    );
  }
  const { kind, say } = portTrouble(error, path);
  return new Ending(EXIT.noScale, cleanText(`${SAY[kind]?.(path) ?? say} ${NOTHING_WRITTEN}`));
}
