/**
 * The way out of an over-pour that can't be taken back: the smallest scale-up of the batch by which everything that is
 * in becomes right again, once exactly and once within the bands, in any size and in whole bars. Every limit is
 * checked; what can't be had is refused with its reasons.
 */
import { judge } from '../accept/band.ts';
import { drawOf } from '../facts/apply.ts';
import { wanted } from '../facts/wanted.ts';
import { wholeOf } from '../formula/checkFormula.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { massForBars, type SizedBatch, wholeBarsOf } from '../plan/batchSize.ts';
import type { Refusal } from '../plan/model.ts';
import { isPressed } from './again.ts';
import { saidOffer, saidRefusal } from './inWords.ts';
import { type Line, linesOf } from './lines.ts';
import type { Meant, Offer, Refused, Rescue, RescueInput } from './model.ts';
import { type Least, leastSize } from './smallest.ts';
import { type Tried, tryOut } from './tryOut.ts';

/** No batch is scaled up to more than so many times what it was. */
export const MOST_TIMES = 2;
/** Where the smallest size meets an obstacle that a larger one may not, sizes grow by this share of the batch. */
export const STEPS_PER_BATCH = 1000;

/** Sizes to try, the smallest first. */
function* sizesFrom(input: RescueInput, least: Mass, wholeBars: boolean): Generator<SizedBatch> {
  const { mass: now, bars: barsNow, lossPpm } = input.state.plan;
  const { bar } = input.formula;
  const start = Math.max(least, now + 1);
  const most = now * MOST_TIMES;
  if (!wholeBars) {
    const step = Math.ceil(now / STEPS_PER_BATCH);
    for (let size = start; size <= most; size += step) {
      yield { mass: mass(size), bars: wholeBarsOf(mass(size), bar, lossPpm) };
    }
    return;
  }
  if (bar === undefined || barsNow === null) return;
  for (let bars = barsNow; ; bars += 1) {
    const size = massForBars(bars, bar, lossPpm);
    if (size > most) return;
    if (size >= start) yield { mass: size, bars };
  }
}

interface Search {
  readonly size: SizedBatch;
  readonly tried: Tried;
}

/** Exactly: what is within its band gets its full share too, where that stands in nothing's way. */
function grownAtWill(input: RescueInput, lines: readonly Line[], size: SizedBatch, meant: Meant): Tried | undefined {
  const tried = meant === 'exact' ? tryOut(input, lines, size, { meant, grows: true }) : undefined;
  return tried?.refusals.length === 0 ? tried : undefined;
}

/** The first size that can be had; else the smallest one with what stood in its way. */
function search(
  input: RescueInput,
  lines: readonly Line[],
  sizes: Iterable<SizedBatch>,
  meant: Meant,
): Search | undefined {
  // From so much more on, every target is at least what it is here, whatever the rounding did.
  const rounding = Math.ceil(wholeOf(input.formula) / Math.min(...lines.map(({ draw }) => draw.share)));
  let smallest: Search | undefined;
  let end = Number.POSITIVE_INFINITY;
  for (const size of sizes) {
    if (size.mass >= end) break;
    const tried = tryOut(input, lines, size, { meant, grows: false }, smallest !== undefined);
    if (tried?.refusals.length === 0) return { size, tried: grownAtWill(input, lines, size, meant) ?? tried };
    if (tried) smallest ??= { size, tried };
    if (tried?.hopeless) end = Math.min(end, size.mass + rounding);
  }
  return smallest;
}

function answer(
  input: RescueInput,
  lines: readonly Line[],
  least: Least,
  meant: Meant,
  wholeBars: boolean,
): Offer | Refused {
  const found = search(input, lines, sizesFrom(input, least.mass, wholeBars), meant);
  if (!found) {
    const why = `It would take more than ${MOST_TIMES} times the batch.`;
    return refused(input, meant, wholeBars, least.mass, [{ where: least.setBy?.id ?? null, why, instead: null }]);
  }
  const { size, tried } = found;
  if (tried.refusals.length > 0) return refused(input, meant, wholeBars, size.mass, tried.refusals);
  const { mass: was, bars } = input.state.plan;
  const { plan, topUps, raised, leftAlone } = tried;
  const offer = {
    meant,
    wholeBars,
    mass: size.mass,
    bars: size.bars,
    from: { mass: was, bars },
    extra: mass(size.mass - was),
    setBy: least.setBy?.ingredient.name ?? '',
    topUps,
    raised,
    leftAlone,
    plan,
  };
  return { ...offer, say: saidOffer(offer) };
}

function refused(
  { state }: RescueInput,
  meant: Meant,
  wholeBars: boolean,
  size: Mass | null,
  reasons: readonly Refusal[],
): Refused {
  return { meant, wholeBars, mass: size, reasons, say: saidRefusal(meant, state.plan.mass, size, reasons) };
}

/** Why no scale-up is to be worked out at all; undefined when one is. */
function noNeedOrWay(input: RescueInput, lines: ReturnType<typeof linesOf>): string | undefined {
  if ('why' in lines) return lines.why;
  const { state, held } = input;
  if (state.ended !== 'open') return 'The batch has ended.';
  if (isPressed(input)) return 'The mass has been pressed, so nothing can be mixed in any more.';
  const draw = held ? drawOf(state, held.draw) : undefined;
  if (held && !draw) return `The plan has no draw ${held.draw}.`;
  if (leastSize(input, lines, 'within bands').setBy) return undefined;
  const isOver = held && draw && judge(held.net, wanted(state, draw)) === 'over';
  const isWhole = draw?.part == null || draw.part.index === draw.part.of;
  if (isOver && isWhole) return undefined;
  return isOver
    ? 'Only this part of it is larger than planned; all that is in of it together is not too much for the batch.'
    : 'Nothing that is in is too much for the batch as it is.';
}

function isOffer(of: Offer | Refused): of is Offer {
  return 'plan' in of;
}

/** Whether two offers come to the same work, so that the exact one is enough. */
function sameWork(a: Offer, b: Offer): boolean {
  return a.mass === b.mass && a.topUps.length === b.topUps.length;
}

/**
 * Works out every scale-up that is open: exact and within bands, in any size, and in whole bars where the batch is
 * counted in bars. Instant for batches of usual size (a few tries of a whole plan).
 */
export function planRescue(input: RescueInput): Rescue {
  const lines = linesOf(input);
  const why = noNeedOrWay(input, lines);
  if (why !== undefined || 'why' in lines) {
    const reasons = [{ where: null, why: why ?? '', instead: null }];
    return { offers: [], refused: [refused(input, 'within bands', false, null, reasons)] };
  }
  const kinds = input.state.plan.bars !== null && input.formula.bar !== undefined ? [false, true] : [false];
  const answers = (['exact', 'within bands'] as const).flatMap((meant) => {
    const least = leastSize(input, lines, meant);
    return kinds.map((wholeBars) => answer(input, lines, least, meant, wholeBars));
  });
  const offers = answers.filter(isOffer);
  const distinct = offers.filter((offer, index) => !offers.slice(0, index).some((other) => sameWork(offer, other)));
  return {
    offers: distinct.sort((a, b) => a.mass - b.mass),
    refused: answers.filter((each): each is Refused => !isOffer(each)),
  };
}
