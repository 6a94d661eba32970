/** Finds the settings of a port by listening at one after the other: which of them makes text of what comes? */
import { judgeLineSettings } from '../teach/judgeLineSettings.ts';
import type { LineJudgement } from '../teach/model.ts';
import type { SerialSettings } from '../wire/profile.ts';
import { type Ear, joined, openAtEach, type PortSearch, pause, throwIfLost } from './listenPort.ts';

/** Usual speeds, bits per second, the most usual first (common practice, no source). */
export const SPEEDS = [9600, 4800, 2400, 19_200, 1200, 38_400, 57_600, 115_200] as const;

/** Under this score it is no text (`judgeLineSettings`). */
const TEXT = 0.5;
/**
 * From this score on, with so many bytes, it is text beyond doubt, and no other speed is tried: what was sent at another
 * speed stays under 0.1 then (there is a test for that).
 */
const SURELY_TEXT = 0.8;
const SURELY_BYTES = 24;
/** No more bytes are wanted than these. */
const PLENTY = 60;
const LOOK_EVERY_MS = 50;
/** A scale that has begun to speak gets so many times the patience to say enough. */
const LONGER_ONCE_HEARD = 2;

/** Ended early, what was found until then is judged. */
export interface SettingsSearch extends PortSearch {
  /** What to try, in order; default: every speed with eight bits and no parity. */
  readonly settings?: readonly SerialSettings[];
  /** How long to listen at each before it counts as silent there, milliseconds. */
  readonly patienceMs: number;
}

export type FoundSettings =
  | {
      readonly kind: 'text';
      readonly serial: SerialSettings;
      readonly score: number;
      /** Speeds at which something came that is no text. */
      readonly noiseAt: readonly number[];
    }
  | { readonly kind: 'noise' }
  | { readonly kind: 'silent' };

/** Every speed with eight bits and no parity: all that a scale sends leaves a trace there. */
export const EIGHT_BITS: readonly SerialSettings[] = SPEEDS.map((baud) => ({
  baud,
  dataBits: 8,
  parity: 'none',
  stopBits: 1,
}));

/**
 * Listens at one setting after the other.
 * @throws (rejects) with the port's error when it can't be opened at all, or is gone
 */
export async function findSettings(search: SettingsSearch): Promise<FoundSettings> {
  const heard: HeardAt[] = [];
  await openAtEach(search, search.settings ?? EIGHT_BITS, async (ear) => {
    const bytes = await listenTo(ear, search);
    if (bytes.length === 0) return false;
    const judgement = judgeLineSettings(bytes, ear.serial);
    heard.push({ serial: ear.serial, bytes, judgement });
    return isSurelyText(bytes, judgement);
  });
  heard.sort((a, b) => b.judgement.score - a.judgement.score);
  const noiseAt = heard.filter(({ judgement }) => judgement.score < TEXT).map(({ serial }) => serial.baud);
  for (const each of heard) {
    const whole = await withLostParity(each, search);
    if (whole) return { ...whole, noiseAt: noiseAt.filter((baud) => baud !== whole.serial.baud) };
  }
  const [best] = heard;
  if (!best) return { kind: 'silent' };
  const { score, isEnough, better, eighthBit } = best.judgement;
  // Noise, too, may have every eighth bit set, and look like text without it.
  const isText = score >= TEXT && isEnough && (eighthBit !== 'set' || best.bytes.length >= PLENTY);
  return isText ? { kind: 'text', serial: better, score, noiseAt } : { kind: 'noise' };
}

interface HeardAt {
  readonly serial: SerialSettings;
  readonly bytes: Uint8Array;
  readonly judgement: LineJudgement;
}

/**
 * A parity bit behind eight bits stands where the stop bit is expected. Many drivers drop a byte whose stop bit is not
 * right, so only bytes with one kind of parity are left of the text: which may still look like text.
 */
async function withLostParity(
  { serial, bytes, judgement }: HeardAt,
  search: SettingsSearch,
): Promise<Extract<FoundSettings, { kind: 'text' }> | undefined> {
  if (serial.dataBits !== 8 || serial.parity !== 'none' || judgement.eighthBit !== 'clear') return undefined;
  const odd = bytes.filter(hasOddOnes).length;
  const printable = bytes.filter((byte) => byte >= 0x20).length;
  if ((odd > 0 && odd < bytes.length) || printable * 2 < bytes.length || search.signal?.aborted) return undefined;
  const other: SerialSettings = { ...serial, parity: odd > 0 ? 'even' : 'odd' };
  let whole: Uint8Array = new Uint8Array();
  await openAtEach(search, [other], async (ear) => {
    whole = await listenTo(ear, search);
    return true;
  });
  const { score, isEnough } = judgeLineSettings(whole, other);
  const regained = whole.some((byte) => hasOddOnes(byte) !== odd > 0);
  return regained && isEnough && score >= TEXT ? { kind: 'text', serial: other, score, noiseAt: [] } : undefined;
}

function hasOddOnes(byte: number): boolean {
  let ones = 0;
  for (let bits = byte; bits > 0; bits >>= 1) ones += bits & 1;
  return ones % 2 === 1;
}

function isSurelyText(bytes: Uint8Array, { score, eighthBit }: LineJudgement): boolean {
  return bytes.length >= SURELY_BYTES && score >= SURELY_TEXT && eighthBit !== 'set';
}

/** What came at one setting, once it is plenty or the time is up. */
async function listenTo(ear: Ear, { clock, patienceMs, signal }: SettingsSearch): Promise<Uint8Array> {
  const began = clock.now();
  const time = (): number => patienceMs * (ear.count > 0 ? LONGER_ONCE_HEARD : 1);
  let bytes: Uint8Array = new Uint8Array();
  while (clock.now() - began < time() && !signal?.aborted) {
    await pause(clock, LOOK_EVERY_MS, signal);
    throwIfLost(ear);
    bytes = joined(ear.since(began));
    if (bytes.length >= PLENTY || isSurelyText(bytes, judgeLineSettings(bytes, ear.serial))) break;
  }
  return bytes;
}
