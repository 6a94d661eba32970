/** The closing lane as lines of text: bar, posts and base line, and the labels below. */
import type { Mass } from '../mass/mass.ts';
import type { Ink } from './digits.ts';
import { filledCells, headOf, type LaneRoom, labelStart, laneWidth, targetCell, ticksOf } from './lane.ts';
import type { LaneView } from './view.ts';

/** A lane to draw: `bar` is laid over the left of every row of `yard`. */
export interface DrawnLane {
  /** The filled part of each bar row; empty when nothing is known. */
  readonly bar: string;
  /** The unfilled rest of each bar row: the posts. */
  readonly yard: string;
  readonly base: string;
  readonly labels: string;
}

const INKS: Readonly<
  Record<Ink, { bar: string; head: string; post: string; base: string; door: string; tick: string; landing: string }>
> = {
  block: {
    bar: '\u2588',
    head: '\u2588',
    post: '\u2503',
    base: '\u2500',
    door: '\u2550',
    tick: '\u2534',
    landing: '\u2584',
  },
  ascii: { bar: '=', head: '>', post: '|', base: '-', door: '=', tick: '+', landing: '^' },
};

/**
 * Draws a lane.
 * @param live false: the net weight can't be trusted, so no bar is drawn
 */
export function drawLane(lane: LaneView, room: LaneRoom, ink: Ink, live: boolean): DrawnLane {
  const inks = INKS[ink];
  const head = live ? headOf(lane, room) : undefined;
  const filled = head ? filledCells(head, room) : 0;
  const width = laneWidth(room);
  const posts = [room.approach, room.approach + room.door + 1];

  const yard = Array.from({ length: width }, (_, cell) => (posts.includes(cell) ? inks.post : ' '));
  const base = yard.map((cell, index) => {
    if (cell !== ' ') return inks.tick;
    return index > room.approach && index < room.approach + room.door + 1 ? inks.door : inks.base;
  });
  const labels: string[] = Array.from({ length: width }, () => ' ');
  for (const tick of ticksOf(lane, room)) {
    base[tick.cell] = inks.tick;
    [...tick.label].forEach((letter, index) => {
      labels[labelStart(tick, room) + index] = letter;
    });
  }
  base[targetCell(lane, room)] = inks.tick;
  if (live && lane.landing !== undefined) base[landingCell(lane, lane.landing, room)] = inks.landing;
  return {
    bar: filled > 0 ? inks.bar.repeat(filled - 1) + inks.head : '',
    yard: yard.slice(filled).join('').trimEnd(),
    base: base.join(''),
    labels: labels.join('').trimEnd(),
  };
}

/** The cell at which the bar will end. */
function landingCell(lane: LaneView, landing: Mass, room: LaneRoom): number {
  return Math.max(0, filledCells(headOf({ ...lane, net: landing }, room), room) - 1);
}
