/**
 * The closing lane: how far a draw still is from its band. The way to the band is drawn on a logarithmic scale, so
 * that the last 100 g, the last 10 g, the last 1 g ... each get a stretch of equal length; the band is a doorway at
 * its end; behind it is some room for too much.
 *
 * Everything here counts in terminal cells, so that what is decided (before, in, past) is what is drawn.
 */
import { judge } from '../accept/band.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import type { LaneView } from './view.ts';

/** The parts of a lane from left to right, in cells. Each of the two posts takes one cell more. */
export interface LaneRoom {
  readonly approach: number;
  readonly door: number;
  readonly past: number;
}

/** Where the head of the bar is. `cells`: filled cells of that zone; the zones before it are filled wholly. */
export interface Head {
  readonly zone: 'before' | 'in' | 'past';
  readonly cells: number;
}

/** A place on the lane that is named below it. */
export interface Tick {
  readonly cell: number;
  readonly label: string;
}

/** Least width in cells that a lane needs. */
export const LEAST_LANE = 40;

/** Shares a width out: about a sixth each for the doorway and the room behind it. */
export function laneRoom(width: number): LaneRoom {
  const door = Math.max(9, Math.floor(width / 6));
  const past = Math.max(7, Math.floor(width / 7));
  return { approach: width - door - past - 2, door, past };
}

/** Cells from the left end to the right one, posts included. */
export function laneWidth({ approach, door, past }: LaneRoom): number {
  return approach + door + past + 2;
}

/** The shortest distance with a stretch of its own: the power of ten (in micrograms) that holds one interval. */
function nearest(d: number): number {
  return 10 ** Math.ceil(Math.log10(d) - 1e-9);
}

/** Stretches between the band and a distance from it: 0 at the band, 1 at `nearest`, 2 at ten times that ... */
function stretches(distance: number, near: number): number {
  return distance <= near ? distance / near : 1 + Math.log10(distance / near);
}

/** The farthest distance that is drawn on either side: the whole way from nothing to the band. */
function farthest({ low, d }: LaneView): number {
  return Math.max(low, nearest(d) * 10);
}

/** Where the bar ends for a net weight. It never moves back when the net weight grows. */
export function headOf(lane: LaneView, room: LaneRoom): Head {
  const near = nearest(lane.d);
  const whole = stretches(farthest(lane), near);
  const verdict = judge(lane.net, lane);
  if (verdict === 'in') {
    const share = lane.high > lane.low ? (lane.net - lane.low) / (lane.high - lane.low) : 0.5;
    return { zone: 'in', cells: 1 + Math.round(share * (room.door - 1)) };
  }
  if (verdict === 'under') {
    const left = stretches(lane.low - lane.net, near) / whole;
    return { zone: 'before', cells: clamp(Math.floor((1 - left) * room.approach), 0, room.approach - 1) };
  }
  const gone = stretches(lane.net - lane.high, near) / whole;
  return { zone: 'past', cells: clamp(Math.ceil(gone * room.past), 1, room.past) };
}

function clamp(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value));
}

/** Filled cells from the left end. The first post belongs to the bar once it is in the doorway, the second past it. */
export function filledCells({ zone, cells }: Head, { approach, door }: LaneRoom): number {
  switch (zone) {
    case 'before':
      return cells;
    case 'in':
      return approach + 1 + cells;
    case 'past':
      return approach + 1 + door + 1 + cells;
  }
}

/**
 * The named places: each power of ten on the way (`-10`, `-1`, `-0.1` to the band), the band's ends under the posts.
 * Labels that would touch a more important one are left out.
 */
export function ticksOf(lane: LaneView, room: LaneRoom): Tick[] {
  const decimals = decimalsOf(lane.d);
  const leftPost = room.approach;
  const rightPost = room.approach + room.door + 1;
  const wanted: Tick[] = [
    { cell: leftPost, label: printMass(lane.low, { decimals }) },
    { cell: rightPost, label: printMass(lane.high, { decimals }) },
    { cell: targetCell(lane, room), label: printMass(lane.target, { decimals }) },
  ];
  const near = nearest(lane.d);
  const far = farthest(lane);
  const whole = stretches(far, near);
  for (let distance = near; distance < far; distance *= 10) {
    const cell = Math.floor((1 - stretches(distance, near) / whole) * room.approach);
    wanted.push({ cell, label: `-${plainGrams(distance)}` });
  }
  const kept: Tick[] = [];
  for (const tick of wanted) {
    if (kept.every((other) => apart(tick, other, room))) kept.push(tick);
  }
  return kept.sort((a, b) => a.cell - b.cell);
}

/** The cell of the doorway that the target falls into. */
export function targetCell({ low, target, high }: LaneView, { approach, door }: LaneRoom): number {
  const share = high > low ? clamp((target - low) / (high - low), 0, 1) : 0.5;
  return approach + 1 + Math.round(share * (door - 1));
}

/** Micrograms, a power of ten, in grams without needless zeros: `100`, `0.1`. */
function plainGrams(micrograms: number): string {
  return micrograms >= 1e6 ? (micrograms / 1e6).toFixed(0) : (micrograms / 1e6).toFixed(6).replace(/0+$/, '');
}

/** First cell of a label that is centred under its tick, kept inside the lane. */
export function labelStart({ cell, label }: Tick, room: LaneRoom): number {
  return clamp(cell - Math.floor(label.length / 2), 0, Math.max(0, laneWidth(room) - label.length));
}

function apart(a: Tick, b: Tick, room: LaneRoom): boolean {
  const startA = labelStart(a, room);
  const startB = labelStart(b, room);
  return startA + a.label.length < startB || startB + b.label.length < startA;
}
