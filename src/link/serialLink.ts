/**
 * The way to one scale that sends lines, over a serial port or any other port that gives bytes. Splits and decodes
 * them, asks scales that must be asked, and finds the scale again when its port has another name.
 */
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import type { Profile } from '../wire/profile.ts';
import { isQuietByHabit, type ScaleSource } from '../wire/reading.ts';
import { type Clock, realClock } from './clock.ts';
import { keepOpen, type Opened } from './keepOpen.ts';
import type { OpenPort, PortEvents } from './port.ts';
import type { PortSeat } from './portDesk.ts';
import { type PortTrouble, portTrouble } from './portTrouble.ts';
import { receiveLines } from './receiveLines.ts';

export { FIRST_BACK_OFF_MS, GIVE_UP_MS, LONGEST_BACK_OFF_MS, PATIENCE_WITH_LOCK_MS } from './keepOpen.ts';

export interface SerialLinkSettings {
  /** Id of the scale. */
  readonly scale: string;
  readonly path: string;
  readonly profile: Profile;
  readonly openPort: OpenPort;
  readonly clock?: Clock;
  /** Hears every complete line as it came, Latin-1, for a raw log. Not cleaned: do not print it. */
  readonly onRaw?: (line: string, at: number) => void;
  /** Finds the port when its name has changed; without it the path stays what it is. */
  readonly seat?: PortSeat;
  /** How long bytes may be held up on the way, milliseconds; see `receiveLines`. */
  readonly delayMs?: number;
}

/** Adapters and the system hold bytes back for some tens of milliseconds; a busy computer for longer. */
const USUAL_DELAY_MS = 200;

/** Makes the link; nothing happens before `start`. What it tells of its state: `keepOpen`. */
export function createSerialLink(settings: SerialLinkSettings): ScaleSource {
  const { scale, profile, openPort, clock = realClock, onRaw, seat, delayMs = USUAL_DELAY_MS } = settings;
  /** Where it was last, or should be now. */
  let path = settings.path;
  /** What was opened last, also only to try it. */
  let opening = path;

  const open = async (hear: PortEvents): Promise<Opened> => {
    if (!seat) return { port: await openPort(path, profile.serial, hear), onTrial: false };
    const where = await seat.where();
    if (where.kind === 'nowhere') throw new NotThere(where.say);
    const onTrial = where.kind === 'perhaps';
    if (!onTrial) path = where.path;
    opening = where.path;
    try {
      return { port: await openPort(where.path, profile.serial, hear), onTrial, say: where.say };
    } catch (error) {
      throw onTrial ? new NotThere(gone()) : error;
    }
  };

  const gone = (): string =>
    `The scale "${scale}" is gone from its port ${shown(path)}: cable pulled or power lost. Plug it in; this goes on by itself. What is recorded is safe.`;

  const trouble = (error: unknown): PortTrouble =>
    error instanceof NotThere ? { kind: 'missing', say: error.message } : portTrouble(error, shown(path));

  return keepOpen({
    scale,
    clock,
    mayBeQuiet: isQuietByHabit(profile.rhythm),
    open,
    receiver: (voice) => {
      const notOnlyMine = (line: string): string | undefined => seat?.notOnlyMine(line);
      const itIs = (): void => {
        path = opening;
        seat?.settled();
      };
      const accept = (): void => {
        itIs();
        voice.accept();
      };
      const lines = receiveLines({ profile, clock, delayMs, onRaw, notOnlyMine }, { ...voice, accept });
      return {
        ...lines,
        opened(port, onTrial) {
          seat?.trying(opening);
          if (!onTrial) itIs();
          lines.opened(port, onTrial);
        },
      };
    },
    left: () => seat?.left(),
    trouble,
    gone,
  });
}

/** There is nothing to open; its message is a sentence for the maker. */
class NotThere extends Error {}

function shown(path: string): string {
  return cutToWidth(cleanText(path), 60);
}
