/**
 * How a reading came to its level. A pan answers a load with a lag, so its readings come to rest in ever smaller steps.
 * A display that freezes, holds a figure or snaps to one stops in full stride: then the figure is not to be believed
 * before the vessel has been lifted and put back.
 *
 * That can be told only of a scale that has shown such a tail; many smooth it away or speak too seldom.
 */
import type { Mass } from '../mass/mass.ts';
import type { Sample } from './settled.ts';

export interface Arrival {
  /** Readings on the way from the first that moved to the last before rest. */
  readonly steps: number;
  /** Size of the last step onto the level, micrograms. */
  readonly last: number;
  /** Size of the steps before that: the middle one of three, so that a line lost on the way does not matter. */
  readonly before: number;
  /** Readings after the last step that was at least half as large as the largest: what the hand did is over by then. */
  readonly tail: number;
}

/** Readings this near to the level (in d) are on it. */
const ON_LEVEL_D = 1;
/** A tail ends in at most so many steps that are as small as a reading's trembling. */
const MOST_QUIET_STEPS = 4;
/** A last step of at most so many d is a quiet one, however it compares. */
const QUIET_D = 5;
/** In a tail each step is clearly smaller than the one before; in full stride it is not. */
const TAIL_RATIO = 0.7;
/** A tail that would still have gone on so many d, as its steps grow smaller, was cut off. */
const CUT_D = 20;
/** A scale whose answer to a load takes so many readings has a tail that can be seen. */
export const LEAST_TAIL = 4;
/** So many of them must come after the hand has let go: a hand that sets a load down slowly makes no tail. */
const LEAST_AFTER_HAND = 2;

/**
 * The way to the level that the window ends on; undefined when it does not reach back to the motion before.
 * @param samples oldest first, the latest at the level
 */
export function arrivalAt(samples: readonly Sample[], level: Mass, d: Mass): Arrival | undefined {
  const isOn = (index: number) => Math.abs((samples[index]?.gross ?? Number.NaN) - level) <= ON_LEVEL_D * d;
  let first = samples.length;
  while (first > 0 && isOn(first - 1)) first -= 1;
  if (first === 0 || first === samples.length) return undefined;
  const step = (index: number): number => {
    const now = samples[index]?.gross;
    const then = samples[index - 1]?.gross;
    return now === undefined || then === undefined ? 0 : Math.abs(now - then);
  };
  const isQuiet = (index: number) => step(index) <= ON_LEVEL_D * d;
  // A tail ends in steps too small to be told from trembling: the way to them belongs to it all the same.
  let index = first - 1;
  while (index > first - 1 - MOST_QUIET_STEPS && isQuiet(index)) index -= 1;
  let steps = index > 0 && !isQuiet(index) ? first - index : 1;
  for (; index > 0 && !isQuiet(index); index--) steps += 1;
  const before = [1, 2, 3].map((back) => step(first - back)).sort((a, b) => a - b);
  const sizes = Array.from({ length: steps }, (_, back) => step(first - back));
  const most = Math.max(...sizes);
  return {
    steps,
    last: step(first),
    before: (steps > before.length ? before[1] : undefined) ?? step(first - 1),
    tail: sizes.findIndex((size) => size >= most / 2),
  };
}

/** Whether a scale that answered a load like this has a tail by which a frozen display can be told. */
export function hasTail(arrival: Arrival, d: Mass): boolean {
  return arrival.steps >= LEAST_TAIL && arrival.tail >= LEAST_AFTER_HAND && !isAbrupt(arrival, d);
}

/** Whether the reading stopped in full stride, or in the middle of its tail. */
export function isAbrupt({ last, before }: Arrival, d: Mass): boolean {
  if (last <= QUIET_D * d) return false;
  if (last > TAIL_RATIO * before) return true;
  const ratio = last / before;
  return (last * ratio) / (1 - ratio) > CUT_D * d; // the sum of all steps to come, each smaller by the same ratio
}
