/** The questions that decide the chart's way, by name: each is one line on what `look.ts` sees. */

import { handOverOf, isOut, isWaiting } from '../facts/handOver.ts';
import { isDone } from '../facts/isDone.ts';
import type { Offer } from '../rescue/model.ts';
import type { WeighingContext } from './context.ts';
import type { WeighingEvent } from './events.ts';
import { jarDraw, jarNow } from './jarNow.ts';
import {
  arrivalNow,
  beganEarly,
  beginsAnew,
  burstOf,
  drawNow,
  drawStateNow,
  isBlind,
  isTippedWell,
  netNow,
  panNow,
  panOf,
  recognised,
  residueNow,
  standing,
  stepNow,
  verdictNow,
} from './look.ts';
import { isLittle, otherUnitNow } from './oddLoad.ts';
import { isUntrusted } from './pans.ts';
import { isOffered, isToBeFound } from './rescueNow.ts';
import { isBackDwelt, isInHand, isTapped, movesContentNow } from './stepPans.ts';
import { isSumStep, sumNow } from './sumNow.ts';
import { isPutBack, undoableNow } from './undoing.ts';
import { scaleToLookAt } from './unseenNow.ts';
import { isZeroedUnder } from './zeroNow.ts';

interface Seen {
  readonly context: WeighingContext;
}

export const guards = {
  isEnded: ({ context }: Seen) => context.batch.ended !== 'open',
  isGathered: ({ context }: Seen) => context.batch.gathered,
  isAllDone: ({ context }: Seen) => context.batch.plan.tasks.every((task) => isDone(context.batch, task)),
  isElsewhere: ({ context }: Seen) => isWaiting(context.batch),
  /** What is told as done is a hand-over of this batch that is still out. */
  isPartOut: ({ context, event }: Seen & { readonly event: WeighingEvent }) => {
    const handOver = event.type === 'part.done' ? handOverOf(context.batch, event.broughtIn.number) : undefined;
    return handOver !== undefined && isOut(handOver);
  },
  isStep: ({ context }: Seen) => stepNow(context) !== undefined,
  /** There is a vessel that can be given up: the present draw's, or one that has just come from another bench. */
  mayGiveUp: ({ context }: Seen) => drawNow(context) !== undefined || arrivalNow(context) !== undefined,
  isTimed: ({ context }: Seen) => stepNow(context)?.forMs != null,
  isBegunStep: ({ context }: Seen) => burstOf(context) > 0,
  mayRepeat: ({ context }: Seen) => burstOf(context) < (stepNow(context)?.times ?? Number.POSITIVE_INFINITY),
  isInCup: ({ context }: Seen) => drawStateNow(context)?.status === 'weighed',
  /** An empty pan has shown that its zero moved under accepted draws, and that is not written yet. */
  hasZeroShift: ({ context }: Seen) => Object.values(context.pans).some(({ shifts }) => shifts.length > 0),
  /** A look at an empty pan would still tell whether its zero moved under what was weighed last. */
  isToLookAt: ({ context }: Seen) => scaleToLookAt(context) !== undefined,
  isBlind: ({ context }: Seen) => isBlind(context),
  isLostBack: ({ context }: Seen) => context.lostScale !== null && !isUntrusted(panOf(context, context.lostScale)),
  isRight: ({ context }: Seen) => standing(context) === 'right',
  /** The right vessel, which the draw is to begin with. */
  isRightAnew: ({ context }: Seen) =>
    standing(context) === 'right' &&
    (drawStateNow(context)?.base == null || beginsAnew(context)) &&
    !isZeroedUnder(context) &&
    !panNow(context).doubted,
  /** Nothing is concluded from a display that stopped in full stride, or that was zeroed under the load. */
  isDoubted: ({ context }: Seen) => panNow(context).doubted,
  isZeroedUnder: ({ context }: Seen) => isZeroedUnder(context),
  /** Something else stands there, that the maker may vouch for: not the rest of what was given up. */
  isWrong: ({ context }: Seen) =>
    standing(context) === 'wrong' &&
    !panNow(context).toEmpty &&
    !isLittle(context) &&
    otherUnitNow(context) === undefined,
  isOther: ({ context }: Seen) => recognised(context) !== undefined,
  beginsAnew: ({ context }: Seen) => beginsAnew(context),
  isBegun: ({ context }: Seen) => drawStateNow(context)?.base != null,
  isAway: ({ context }: Seen) => ['nothing', 'wrong', 'unsure'].includes(standing(context)),
  isMoving: ({ context }: Seen) => panNow(context).state === 'moving',
  hasDwelt: ({ context }: Seen) => panNow(context).dwelt,
  beganEarly: ({ context }: Seen) => beganEarly(context),
  isUnheard: ({ context }: Seen) => panNow(context).unheard,
  isUnder: ({ context }: Seen) => verdictNow(context) === 'under',
  isInBand: ({ context }: Seen) => verdictNow(context) === 'in',
  isOver: ({ context }: Seen) => verdictNow(context) === 'over',
  isNoted: ({ context }: Seen) => (drawStateNow(context)?.peak ?? -1) >= (netNow(context) ?? 0),
  isSomething: ({ context }: Seen) => (netNow(context) ?? 0) > 0,
  hasLaterPart: ({ context }: Seen) => {
    const part = drawNow(context)?.part;
    return part != null && part.index < part.of;
  },
  mayKeep: ({ context }: Seen) => drawNow(context)?.over !== 'never',
  /** Something is held, and what can be done about it is not worked out yet. */
  isRescueWanted: ({ context }: Seen) => isToBeFound(context),
  isOffered: ({ context, event }: Seen & { event: { type: string; offer?: Offer } }) =>
    event.offer !== undefined && isOffered(context, event.offer),
  isTippedBack: ({ context }: Seen) => residueNow(context) !== null,
  isTippedWell: ({ context }: Seen) => isTippedWell(context),
  isMovingContent: ({ context }: Seen) => movesContentNow(context),
  isJarStep: ({ context }: Seen) => jarDraw(context) !== undefined,
  isJarRight: ({ context }: Seen) => jarNow(context)?.isRight === true,
  isJarOff: ({ context }: Seen) => jarNow(context)?.isRight === false,
  hasJarDwelt: ({ context }: Seen) => jarNow(context)?.dwelt === true,
  isSumStep: ({ context }: Seen) => isSumStep(context),
  isSumRight: ({ context }: Seen) => sumNow(context)?.isRight === true,
  isSumOff: ({ context }: Seen) => sumNow(context)?.isRight === false,
  hasSumDwelt: ({ context }: Seen) => sumNow(context)?.dwelt === true,
  /** A weight is to be seen; that a lot was empty from the start is none. */
  needsWitness: ({ context }: Seen) =>
    drawNow(context)?.witness === true && context.pending.some(({ kind }) => kind === 'weighed'),
  /** The weight that the witness looks at is still the one that was decided on. */
  isAsDecided: ({ context }: Seen) => {
    const decided = context.pending.find((each) => each.kind === 'weighed');
    return decided?.kind === 'weighed' && netNow(context) === decided.net;
  },
  isAnother: ({ context, event }: Seen & { event: { type: string; name?: string } }) => event.name !== context.by,
  isPouredIn: ({ context }: Seen) => drawNow(context)?.way !== 'subtract',
  isOtherLot: ({ context, event }: Seen & { event: { type: string; lot?: string } }) =>
    drawNow(context)?.otherLots?.some(({ id }) => id === event.lot) === true,
  /** The step's vessel is seen to stand on no pan. */
  isInHand: ({ context }: Seen) => isInHand(context),
  isBackDwelt: ({ context }: Seen) => isBackDwelt(context),
  isTapped: ({ context }: Seen) => isTapped(context),
  isRepeated: ({ context }: Seen) => stepNow(context)?.times != null,
  mayUndo: ({ context }: Seen) => undoableNow(context) !== null,
  isPutBack: ({ context }: Seen) => isPutBack(context),
  isJustUndone: ({ context }: Seen) => context.justUndone,
};
