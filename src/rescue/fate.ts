/** What becomes of a line that is in, once the batch has grown: it stays, it goes on, or it is topped up. */

import { lesser, type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import type { Obstacle } from '../plan/feasible.ts';
import { leastHalfBand, noRoom, tooHeavy, tooWeak } from '../plan/feasible.ts';
import { type Judged, judgedBand, upToGrid } from '../plan/plannedBand.ts';
import { vesselById } from '../plan/several.ts';
import { leftOf } from './contentsNow.ts';
import { judgingScale, type Line, type PartIn } from './lines.ts';
import type { Meant, RescueInput } from './model.ts';

/** What is asked of a size. */
export interface Asked {
  readonly meant: Meant;
  /** Whether what is within its band gets more all the same, up to its exact share. */
  readonly grows: boolean;
}

export type Fate =
  /** More than the new size allows. */
  | { readonly kind: 'too much'; readonly judged: Judged }
  /** In its new band. `mayGrow`: it is short of its exact share, and every draw should have it. */
  | { readonly kind: 'stays'; readonly judged: Judged; readonly mayGrow: boolean }
  /**
   * It is on the pan, and more can follow as if nothing had been. In its band already, it goes on where every draw
   * should have its exact share and the scale can tell half of what is missing.
   */
  | { readonly kind: 'goes on'; readonly judged: Judged; readonly needed: boolean }
  | { readonly kind: 'needs more'; readonly judged: Judged };

/**
 * The band of the whole line at a target, and what follows from it.
 * @param used what has left the lots, the held draw's included
 */
export function fateOf(
  input: RescueInput,
  line: Line,
  target: Mass,
  { meant, grows }: Asked,
  used: ReadonlyMap<string, number>,
): Fate | undefined {
  const scale = judgingScale(input, line);
  if (!scale) return undefined;
  const judged = judgedBand(target, line.draw.tolerance, scale, line.parts.length);
  const most = meant === 'exact' ? lesser(target, judged.high) : judged.high;
  if (line.amount > most) return { kind: 'too much', judged };
  const held = line.parts.find((part) => part.held);
  const mayGoOn = held === line.parts.at(-1) && held && canGoOn(input, line, target, judged, held, used);
  if (line.amount < judged.low)
    return mayGoOn ? { kind: 'goes on', judged, needed: true } : { kind: 'needs more', judged };
  if (!grows || line.amount === target) return { kind: 'stays', judged, mayGrow: false };
  if (!held) return { kind: 'stays', judged, mayGrow: true };
  const low = upToGrid(mass(target - Math.floor((target - line.amount) / 2)), scale.d);
  const isTold = target - low >= leastHalfBand(scale, line.parts.length);
  return mayGoOn && isTold
    ? { kind: 'goes on', judged: { ...judged, low }, needed: false }
    : { kind: 'stays', judged, mayGrow: false };
}

function canGoOn(
  input: RescueInput,
  line: Line,
  target: Mass,
  judged: Judged,
  held: PartIn,
  used: ReadonlyMap<string, number>,
): boolean {
  return (
    target > line.amount &&
    leftOf(input, used, held.draw) >= target - line.amount &&
    obstacleTo(input, line, target, judged, held) === undefined
  );
}

/** What keeps the held draw from being poured on up to the new band on its own pan; the checks are the plan's. */
function obstacleTo(
  { workshop, state }: RescueInput,
  line: Line,
  target: Mass,
  judged: Judged,
  { draw, amount }: PartIn,
): Obstacle | undefined {
  const scale = workshop.scales.get(draw.scale);
  const vessel = vesselById(workshop.vessels, draw.on);
  if (!scale || !vessel) return { kind: 'none', why: `the workshop has no ${scale ? draw.on : draw.scale} any more` };
  const earlier = minus(line.amount, amount);
  const high = minus(judged.high, earlier);
  const load = state.draws[draw.id]?.base ?? vessel.tare;
  const { density } = line.ingredient;
  const pieces = line.parts.map((part) => part.amount);
  const wanted = { target, tolerance: line.draw.tolerance, pieces, density };
  const weak = tooWeak(wanted, scale, { judged, parts: [] });
  const heavy = tooHeavy({ vessel, load, grows: draw.way !== 'subtract' }, high, scale);
  return weak ?? heavy ?? (draw.way === 'cup' ? noRoom(vessel, ZERO, high, density) : undefined);
}
