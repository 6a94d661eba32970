/**
 * Teaches made-up scales, then judges what was learnt by fresh lines: other weights, below zero, over range, not at
 * rest, counting pieces, in another unit. The judge knows the format; it shares nothing with the learner.
 */
import { toMicrograms } from '../../src/mass/units.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { learn } from '../../src/teach/learn.ts';
import type { Evidence, Heard, Learnt, Moment } from '../../src/teach/model.ts';
import { nextQuestion } from '../../src/teach/nextQuestion.ts';
import { decodeLine } from '../../src/wire/decode.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { Decoded, Reading } from '../../src/wire/reading.ts';
import { createReceiver } from '../../src/wire/receiver.ts';
import { type Format, type Shown, someFormat } from './formats.ts';
import { taughtScale } from './taughtScale.ts';
import { type Dice, diceOf } from './words.ts';

/** Fresh readings by which a profile is judged. */
const FRESH = 80;
/** No dialog has more questions. */
const MOST_QUESTIONS = 16;

export interface Taught {
  readonly format: Format;
  readonly learnt: Learnt;
  readonly questions: number;
  /** `right`: every fresh line; `wrong`: one gave a wrong weight, unit or rest; else some were refused, or all. */
  readonly verdict: 'right' | 'wrong' | 'refuses some' | 'not learnt';
  /** The first fresh line that was not right. */
  readonly because: string;
  /** Whether its word on rest is used, where it has one. */
  readonly hasRest: boolean;
}

export function teach(seed: number): Taught {
  const dice = diceOf(seededRandom(seed));
  return teachFormat(someFormat(dice), dice);
}

export function teachFormat(format: Format, dice: Dice): Taught {
  const { evidence, questions } = dialog(format, dice);
  const learnt = learn(evidence, 'made-up');
  const judged = learnt.ok
    ? judge(format, learnt.profile, dice)
    : { verdict: 'not learnt' as const, because: learnt.why };
  return { format, learnt, questions, ...judged, hasRest: learnt.ok && saysRest(learnt.profile) };
}

export function dialog(format: Format, dice: Dice): { readonly evidence: Evidence; readonly questions: number } {
  const scale = taughtScale(format, dice);
  const heard: Heard[] = [];
  const skipped: Moment[] = [];
  const ask = format.ask && { ...format.ask, everyMs: 200 };
  const evidence: Evidence = { serial: format.serial, ask, heard, skipped };
  for (let questions = 0; questions < MOST_QUESTIONS; questions++) {
    const question = nextQuestion(evidence);
    if (question === undefined) return { evidence, questions };
    if (question.moment === 'lifted' && !scale.canTare) skipped.push('lifted');
    else heard.push(scale.answer(question));
  }
  throw new Error('it never stops asking');
}

function saysRest({ status, noStatus, blankUnit }: Profile): boolean {
  return noStatus !== undefined || [...status.values()].includes('stable') || blankUnit?.moving === true;
}

type Judged = Pick<Taught, 'verdict' | 'because'>;

function judge(format: Format, profile: Profile, dice: Dice): Judged {
  let hear = listener(profile);
  let refused: string | undefined;
  for (let count = 0; count < FRESH; count++) {
    const shown = freshDisplay(format, count, dice);
    const lines = format.lines(shown);
    if (lines === undefined || !isSent(format, shown)) continue;
    const mask = format.serial.dataBits === 7 ? 0x7f : 0xff;
    const frames = lines.map((line) => format.packing.pack(line, mask));
    // A frame that is refused costs one without an end its step; the next ones are late then, which is not judged here.
    if (format.packing.length !== undefined) hear = listener(profile);
    const decoded = hear(frames.join(''));
    const told = `${JSON.stringify(frames.join(''))} ${JSON.stringify(shown)} -> ${JSON.stringify(decoded)}`;
    const readings = decoded.flatMap((each) => (each.kind === 'reading' ? [each.reading] : []));
    if (readings.length > 1 || readings.some((reading) => isWrong(format, shown, reading))) {
      return { verdict: 'wrong', because: told };
    }
    const isWeight = shown.mode === 'weight';
    if (isWeight && readings.length === 0 && !lines.some((line) => format.packing.collides(line, mask)))
      refused ??= told;
  }
  return refused === undefined ? { verdict: 'right', because: '' } : { verdict: 'refuses some', because: refused };
}

/** A scale that sends only at rest sends no other lines. */
function isSent({ rhythm, sendsMoving }: Format, { isStable }: Shown): boolean {
  if (isStable) return true;
  return rhythm !== 'on-settled' && rhythm !== 'while-settled' && (rhythm !== 'on-key' || sendsMoving);
}

function isWrong(format: Format, shown: Shown, { mass, unit, stable }: Reading): boolean {
  const net = shown.gross - shown.tare;
  if (stable === true && !shown.isStable) return true;
  if (shown.mode === 'weight') return unit !== format.unit || mass !== toMicrograms(BigInt(net), format.decimals, unit);
  const other = format.otherUnit;
  if (shown.mode !== 'other-unit' || other === undefined) return true;
  return unit !== other.unit || mass !== toMicrograms(BigInt(net), other.decimals, unit);
}

function freshDisplay(format: Format, count: number, dice: Dice): Shown {
  const { capacity, d, otherUnit, canShowPieces, rest } = format;
  const some = (): number => d * Math.floor((dice.next() ** 2 * capacity) / d);
  const tare = dice.chance(0.4) ? some() : 0;
  const isBelow = dice.chance(0.25);
  const gross =
    count === 0
      ? 0
      : isBelow
        ? Math.min(tare, some()) - (tare === 0 ? Math.min(some(), capacity / 4) : 0)
        : tare + some();
  const kind = dice.next();
  const isStable = dice.chance(0.6);
  const mode =
    kind < 0.05
      ? 'over'
      : kind < 0.08
        ? 'under'
        : kind < 0.12 && canShowPieces
          ? 'pieces'
          : kind < 0.16 && otherUnit !== undefined && (rest !== 'unit' || isStable)
            ? 'other-unit'
            : 'weight';
  return {
    mode,
    gross: Math.min(capacity, d * Math.round(gross / d)),
    tare: Math.min(tare, capacity),
    isStable,
    pieces: dice.whole(1, 900),
    seconds: dice.whole(0, 86_399),
    running: dice.whole(0, 9_999),
  };
}

/** Reads what one profile makes of bytes, in time. */
function listener(profile: Profile): (bytes: string) => Decoded[] {
  let now = 0;
  let heard: Decoded[] = [];
  const receiver = createReceiver(
    profile,
    (line) => heard.push(decodeLine(profile, line)),
    () => {},
  );
  receiver.begin();
  return (bytes) => {
    heard = [];
    now += 400;
    receiver.write(
      Uint8Array.from(bytes, (each) => each.charCodeAt(0)),
      now,
    );
    return heard;
  };
}
