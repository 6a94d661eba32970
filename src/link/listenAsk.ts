/**
 * Finds what a silent scale answers to. Only short, harmless questions are tried, at speeds at which none of them can
 * be misheard as the letter of a zero, tare or calibration command (there is a test for that); for the same reason
 * their bytes are sent apart until the settings are known.
 */
import { judgeLineSettings } from '../teach/judgeLineSettings.ts';
import type { AskCommand } from '../teach/model.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { Clock } from './clock.ts';
import { type Ear, joined, openAtEach, type PortSearch, pause, throwIfLost } from './listenPort.ts';

/**
 * Questions that scales usually answer with their weight: the enquiry character of ASCII, single letters for "weight",
 * "print", "send" and "data", a question mark (common practice, no source). None that zeroes, tares, calibrates or sets
 * anything is among them.
 */
export const QUESTIONS = ['\x05', 'W', 'P', 'S', 'D', '?', 'w', 'p'] as const;

/** Speeds at which scales that wait to be asked are set (common practice, no source). */
const ASKED_SPEEDS = [9600, 4800, 2400, 19_200, 1200, 38_400] as const;

/** All settings under which is asked, the usual ones first: a question must be sent as the scale expects it. */
export const ASKED_AT: readonly SerialSettings[] = (
  [
    [8, 'none'],
    [7, 'even'],
    [7, 'odd'],
    [8, 'even'],
  ] as const
).flatMap(([dataBits, parity]) => ASKED_SPEEDS.map((baud) => ({ baud, dataBits, parity, stopBits: 1 as const })));

/** A question is sent piece by piece, so that it ends as the scale wants it and nothing of it stays behind. */
const ENDINGS = [
  { ending: 'none', add: '' },
  { ending: 'cr', add: '\r' },
  { ending: 'crlf', add: '\n' },
] as const;

/** A scale begins to answer within this time, milliseconds (common practice, no source). */
const ANSWER_MS = 200;
/** And has then said all. */
const WHOLE_ANSWER_MS = 600;
/** Between two bytes of a question: longer than one takes at the lowest speed, milliseconds. */
const APART_MS = 25;
/** How often it is asked from then on. */
const EVERY_MS = 300;
/** What seems to be answered is asked so many times more; nearly each must be answered. */
const PROOFS = 5;
const MISSED = 1;
const TEXT = 0.5;

export interface AskSearch extends PortSearch {
  /** Default: all that may be tried. */
  readonly settings?: readonly SerialSettings[];
}

export interface FoundAsk {
  readonly ask: AskCommand;
  readonly serial: SerialSettings;
}

/**
 * Asks with one question after the other at one setting after the other.
 * @returns undefined when nothing answers with a number
 * @throws (rejects) with the port's error
 */
export async function findAsk(search: AskSearch): Promise<FoundAsk | undefined> {
  let found: FoundAsk | undefined;
  await openAtEach(search, search.settings ?? ASKED_AT, async (ear) => {
    found = await findAskAt(ear, search);
    return found !== undefined;
  });
  return found;
}

async function findAskAt(ear: Ear, { clock, signal }: AskSearch): Promise<FoundAsk | undefined> {
  /** What was sent last, newest first: an answer may come late and belong to the one before. */
  let sent: AskCommand[] = [];
  for (const send of QUESTIONS) {
    for (const { ending, add } of ENDINGS) {
      if (signal?.aborted) return undefined;
      sent = [{ send, ending, everyMs: EVERY_MS }, ...sent.slice(0, 2)];
      const before = ear.count;
      await ear.write(ending === 'none' ? send : add);
      await pause(clock, ANSWER_MS, signal);
      throwIfLost(ear);
      if (ear.count === before) continue;
      await pause(clock, WHOLE_ANSWER_MS, signal);
      for (const ask of sent) {
        const serial = await proved(ear, ask, clock, signal);
        if (serial) return { ask, serial };
      }
    }
  }
  return undefined;
}

/** @returns the settings of the answers, when the question is answered with numbers time after time */
async function proved(
  ear: Ear,
  ask: AskCommand,
  clock: Clock,
  signal: AbortSignal | undefined,
): Promise<SerialSettings | undefined> {
  const began = clock.now();
  let answered = 0;
  for (let turn = 0; turn < PROOFS; turn++) {
    const before = ear.count;
    for (const byte of askBytes(ask)) {
      await ear.write(byte);
      await pause(clock, APART_MS, signal);
    }
    await pause(clock, WHOLE_ANSWER_MS, signal);
    throwIfLost(ear);
    if (ear.count > before) answered += 1;
    if (turn + 1 - answered > MISSED) return undefined;
  }
  const { score, isEnough, better } = judgeLineSettings(joined(ear.since(began)), ear.serial);
  return isEnough && score >= TEXT ? better : undefined;
}

/** The question as it goes over the wire. */
export function askBytes({ send, ending }: Pick<AskCommand, 'send' | 'ending'>): string {
  const endings = { none: '', cr: '\r', lf: '\n', crlf: '\r\n' } as const;
  return send + endings[ending];
}

/** Goes on asking while the scale is listened to. @returns what ends it */
export function keepAsking(ear: Ear, ask: AskCommand, clock: Clock): () => void {
  const bytes = askBytes(ask);
  let timer: unknown;
  const again = (): void => {
    if (ear.lost) return;
    ear.write(bytes).catch(() => {}); // a port that is gone tells so itself
    timer = clock.setTimeout(again, ask.everyMs);
  };
  again();
  return () => clock.clearTimeout(timer);
}
