/** What takes the bytes of one opening of a port: bytes -> lines -> what they say. Asks scales that must be asked. */
import { decodeLine } from '../wire/decode.ts';
import type { Profile } from '../wire/profile.ts';
import { type Decoded, isQuietByHabit } from '../wire/reading.ts';
import { createReceiver, type Line } from '../wire/receiver.ts';
import type { Clock } from './clock.ts';
import type { Receiver, Voice } from './keepOpen.ts';
import type { Port } from './port.ts';

export interface LineReceiverSettings {
  readonly profile: Profile;
  readonly clock: Clock;
  /** How long bytes of one line may be held up on the way beyond their own time on the wire, milliseconds. */
  readonly delayMs: number;
  readonly onRaw: ((line: string, at: number) => void) | undefined;
  /** Whether another scale might have sent this line, so that it proves nothing; a sentence that says so. */
  readonly notOnlyMine: (line: string) => string | undefined;
}

/** Good lines that a port on trial must bring before its scale is believed to be the right one. */
export const LINES_OF_PROOF = 3;
/** So long must a line be quiet before its next byte is believed to begin a line. */
export const QUIET_BEFORE_FIRST_MS = 1000;
/** No scale's line is longer, in bytes. */
const LONG_LINE = 64;

/**
 * The first line after an opening may be the rest of one, and such a rest can look whole (`6.3 g` of `16.3 g`). It is
 * dropped, but for a scale that is quiet by habit it may be the only one for hours. There it is taken when
 * the port was open and quiet for longer than any line takes, so that its first byte was heard.
 *
 * For the same reason a line whose bytes came too far apart is refused: a line cut short and the next one
 * can look whole together.
 */
export function receiveLines(settings: LineReceiverSettings, voice: Voice): Receiver {
  const { profile, clock, delayMs, onRaw, notOnlyMine } = settings;
  const longestMs = profile.linesPerReading * (delayMs + wireMs(profile, LONG_LINE));
  let openedAt: number | undefined;
  let onTrial = false;
  let proofs = 0;
  let anyBytes = false;
  let noisy = false;
  let asking = false;
  let askTimer: unknown;

  const onLine = (line: Line): void => {
    const { text, began, at } = line;
    onRaw?.(text, at);
    noisy = false;
    voice.heard(at);
    const said = decodeLine(profile, line);
    const told: Decoded =
      at - began <= longestMs
        ? said
        : { kind: 'refused', why: 'the line came in pieces, so it may be two', at, raw: rawOf(said) };
    if (onTrial) judge(text, told);
    else voice.tell(told);
  };

  const judge = (line: string, said: Decoded): void => {
    const unclear = said.kind === 'refused' ? undefined : notOnlyMine(line);
    if (said.kind === 'refused' || unclear !== undefined) {
      voice.reject(unclear);
      return;
    }
    proofs += 1;
    if (proofs < LINES_OF_PROOF) return;
    onTrial = false;
    voice.accept();
  };

  const onNoise = (at: number): void => {
    if (onTrial) voice.reject();
    if (noisy || onTrial) return;
    noisy = true;
    const why = `many bytes and no line ending: is the speed (${profile.serial.baud} baud) or the profile "${profile.id}" wrong?`;
    voice.tell({ kind: 'refused', why, at, raw: '' });
  };

  const lines = createReceiver(profile, onLine, onNoise);

  const ask = (port: Port, bytes: string, everyMs: number): void => {
    if (!asking) {
      asking = true;
      const answered = (): void => {
        asking = false;
      };
      port.write(bytes).then(answered, answered);
    }
    askTimer = clock.setTimeout(() => ask(port, bytes, everyMs), everyMs);
  };

  return {
    opened(port, trial) {
      openedAt = clock.now();
      onTrial = trial;
      if (profile.ask) ask(port, profile.ask.bytes, profile.ask.everyMs);
    },
    write(chunk, at) {
      if (!anyBytes && isQuietByHabit(profile.rhythm) && openedAt !== undefined) {
        if (at - openedAt >= Math.max(QUIET_BEFORE_FIRST_MS, 2 * longestMs)) lines.begin();
      }
      anyBytes = true;
      lines.write(chunk, at);
    },
    end() {
      lines.end();
      clock.clearTimeout(askTimer);
    },
  };
}

/** How long so many bytes are on the wire, milliseconds. */
function wireMs({ serial }: Profile, bytes: number): number {
  const bits = 1 + serial.dataBits + (serial.parity === 'none' ? 0 : 1) + serial.stopBits;
  return (bytes * bits * 1000) / serial.baud;
}

function rawOf(said: Decoded): string {
  return said.kind === 'reading' ? said.reading.raw : said.raw;
}
