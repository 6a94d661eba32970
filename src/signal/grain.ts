/**
 * Grain: does a pour come as an even stream, or in pieces? What runs in a stream is a liquid, and runs on after the hand
 * has stopped; of lumps, flakes and cut pieces the last one ends it. So the grain is what is known of an ingredient that
 * was never poured, and it is known within seconds.
 */
import type { Sample } from './settled.ts';

/** How far back the flow is looked at, milliseconds, and the parts that it is looked at in. */
export const WINDOW_MS = 1500;
const PART_MS = 500;

/** The flow over the last moments, micrograms per second. */
export interface Parts {
  readonly mean: number;
  /** Standard deviation from one half second to the next. */
  readonly unevenness: number;
  /** By how much the middle half second is off its neighbours: a flow that only grows or shrinks steadily has none. */
  readonly bend: number;
}

/** The mean over a pour. */
export interface Grain {
  /** Bend by mean flow, 0 to 1. */
  readonly bend: number;
  readonly readings: number;
}

export const NO_GRAIN: Grain = { bend: 0, readings: 0 };

/** Before so many readings it is taken for this: a stream, more likely than not. */
const FEWEST_READINGS = 5;
const USUAL_BEND = 0.1;
/** Up to this it is a stream, and from that on pieces (chosen by looking at the pours of the pour bench). */
const STREAM = 0.08;
const PIECES = 0.18;
/** The bend of three like parts has sqrt(6) times their standard deviation (1, -2 and 1, squared and added). */
const BEND_BY_SIGMA = Math.sqrt(6);

export function partsOf(window: readonly Sample[]): Parts {
  const last = window.at(-1);
  const flows: number[] = [];
  for (let back = 0; last && back < WINDOW_MS; back += PART_MS) {
    const part = window.filter(({ at }) => at <= last.at - back && at >= last.at - back - PART_MS);
    const [from, to] = [part[0], part.at(-1)];
    if (from && to && to.at > from.at) flows.push((to.gross - from.gross) / ((to.at - from.at) / 1000));
  }
  if (flows.length === 0) return { mean: 0, unevenness: 0, bend: 0 };
  const mean = flows.reduce((sum, each) => sum + each, 0) / flows.length;
  const squares = flows.reduce((sum, each) => sum + (each - mean) ** 2, 0);
  const unevenness = flows.length < 2 ? 0 : Math.sqrt(squares / (flows.length - 1));
  const [late, middle, early] = flows;
  if (late === undefined || middle === undefined || early === undefined) return { mean, unevenness, bend: 0 };
  return { mean, unevenness, bend: Math.abs(late - 2 * middle + early) / BEND_BY_SIGMA };
}

/** One reading further; nothing is told by a pan that nothing flows onto. */
export function stepGrain({ bend, readings }: Grain, parts: Parts): Grain {
  if (parts.mean <= 0) return { bend, readings };
  const now = Math.min(1, parts.bend / parts.mean);
  return { bend: bend + (now - bend) / (readings + 1), readings: readings + 1 };
}

/** 1: an even stream; 0: pieces. */
export function evennessOf({ bend, readings }: Grain): number {
  const known = readings < FEWEST_READINGS ? USUAL_BEND : bend;
  return Math.max(0, Math.min(1, (PIECES - known) / (PIECES - STREAM)));
}
