/**
 * A simulated hand that pours one ingredient: it changes its pace a reaction time after it means to, its stream is
 * uneven, and something still comes after it has stopped. It decides nothing; what tells it a pace is the opponent
 * (`pourWatcher.ts`) or the cues.
 */
import type { Random } from '../../src/simulate/seededRandom.ts';
import type { Pace, Stuff } from './pourStuff.ts';

export interface HandKind {
  readonly name: string;
  /** Median reaction time, milliseconds, and its spread (standard deviation of the logarithm). */
  readonly reactionMs: number;
  readonly reactionSpread: number;
  /** All rates times this. */
  readonly tempo: number;
  /** Unevenness of the stuff times this. */
  readonly unevenness: number;
}

/** Reaction to a word or a tone is about 0.2 to 0.4 s, longer where a number has to be read (common knowledge, no source). */
export const HANDS: readonly HandKind[] = [
  { name: 'steady', reactionMs: 300, reactionSpread: 0.15, tempo: 0.8, unevenness: 0.7 },
  { name: 'usual', reactionMs: 350, reactionSpread: 0.2, tempo: 1, unevenness: 1 },
  { name: 'hasty', reactionMs: 400, reactionSpread: 0.3, tempo: 1.5, unevenness: 1.4 },
];

/** The stream's unevenness forgets itself within so long, milliseconds. */
const UNEVEN_FOR_MS = 400;
/** It looks at its stream so often, milliseconds. */
export const HAND_STEP_MS = 20;

export interface PouringHand {
  /** Means to pour at this pace from now on. */
  mean(pace: Pace): void;
  /** Lets time pass. @returns true mass in the vessel, micrograms */
  poured(atMs: number): number;
  /** The hand has stopped and does not mean to go on; what it let go may still come. */
  readonly stopped: boolean;
}

export function createPouringHand(kind: HandKind, stuff: Stuff, random: Random): PouringHand {
  let now = 0;
  let meant: Pace = 'stopped';
  let pace: Pace = 'stopped';
  let coming: { readonly pace: Pace; readonly at: number }[] = [];
  let inVessel = 0;
  let toCome = 0;
  let wobble = random.normal();
  let nextPieceAt = 0;
  const uneven = stuff.uneven * kind.unevenness;
  const aroundOne = (spread: number) => Math.exp(spread * random.normal() - (spread * spread) / 2);

  const rateAt = (of: Pace) => (of === 'stopped' ? 0 : stuff.rate[of] * kind.tempo * 1e6);

  function turn(to: Pace): void {
    if (to === 'stopped' && pace !== 'stopped') {
      const { grams, seconds, scatter } = stuff.after;
      const slides = random.next() < stuff.slide ? stuff.piece.full * 1e6 * aroundOne(uneven) : 0;
      toCome += (grams * 1e6 + seconds * rateAt(pace)) * aroundOne(scatter) + slides;
    }
    // After a stop or a stream the first piece falls some time within its gap, not at once.
    if (nextPieceAt <= now && to !== 'stopped') nextPieceAt = now + pieceGapMs(to) * random.next();
    pace = to;
  }

  function pieceGapMs(of: Pace): number {
    if (of === 'stopped') return Number.POSITIVE_INFINITY;
    return (1000 * stuff.piece[of] * 1e6) / rateAt(of);
  }

  function stepOnce(): void {
    now += HAND_STEP_MS;
    const due = coming.filter(({ at }) => at <= now);
    coming = coming.filter(({ at }) => at > now);
    for (const each of due) if (each.pace !== pace) turn(each.pace);
    const keeps = Math.exp(-HAND_STEP_MS / UNEVEN_FOR_MS);
    wobble = keeps * wobble + Math.sqrt(1 - keeps * keeps) * random.normal();
    const drained = toCome < 200 ? toCome : toCome * (1 - Math.exp(-HAND_STEP_MS / stuff.after.tauMs));
    inVessel += drained;
    toCome -= drained;
    if (pace === 'stopped') return;
    const piece = stuff.piece[pace] * 1e6;
    if (piece === 0) {
      inVessel += (rateAt(pace) * Math.max(0, 1 + uneven * wobble) * HAND_STEP_MS) / 1000;
      return;
    }
    while (nextPieceAt <= now) {
      inVessel += piece * aroundOne(uneven);
      nextPieceAt += pieceGapMs(pace) * aroundOne(0.3);
    }
    // A change to a slower pace makes the next piece later, to a faster one sooner.
    nextPieceAt = Math.min(nextPieceAt, now + 2 * pieceGapMs(pace));
  }

  return {
    mean(to) {
      if (to === meant) return;
      meant = to;
      const delay = kind.reactionMs * aroundOne(kind.reactionSpread);
      coming = [...coming.filter(({ at }) => at < now + delay), { pace: to, at: now + delay }];
    },
    poured(atMs) {
      while (now + HAND_STEP_MS <= atMs) stepOnce();
      return inVessel;
    },
    get stopped() {
      return pace === 'stopped' && coming.length === 0;
    },
  };
}
