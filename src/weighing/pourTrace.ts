/**
 * Keeps what a draw's scale showed while it was poured, for its fact: enough points that one sees how it went, few enough
 * that the log stays small. It lives in memory only: after a stop of the program a trace begins in the middle, and says so.
 */
import type { PourTrace } from '../facts/fact.ts';
import { type Mass, minus, size } from '../mass/mass.ts';
import { shapeOf, type TracePoint } from '../signal/traceShape.ts';

/** Points that a fact keeps at most. */
export const MOST_POINTS = 60;
/** So many readings are kept in memory before they are thinned out. */
const MOST_SEEN = 600;
/** A first weight of more intervals than this is no tremble: something had come in before. */
const MIDWAY_D = 5;
/** A figure that stands for so long without a new reading is one that the display holds. */
const HELD_MS = 400;

export interface PourTracer {
  /**
   * A net weight was shown for this draw.
   * @param at monotonic milliseconds
   * @param isHeld no reading says so: the display just holds its last figure
   */
  seen(draw: string, at: number, net: Mass, d: Mass, isHeld: boolean): void;
  /** The draw begins (again): what was seen before is not of it. */
  begin(): void;
  /** @returns what was seen of this draw; undefined when its weight was never seen to change */
  of(draw: string): PourTrace | undefined;
}

export function createPourTracer(): PourTracer {
  let current: { readonly draw: string; readonly d: Mass; readonly midway: boolean; points: TracePoint[] } | undefined;

  return {
    seen(draw, at, net, d, isHeld) {
      if (current?.draw !== draw) current = { draw, d, midway: size(net) > MIDWAY_D * d, points: [] };
      const { points } = current;
      const last = points.at(-1);
      if (last && at <= last.at + (isHeld ? HELD_MS : 0)) return;
      points.push({ at, net });
      if (points.length > MOST_SEEN) current.points = [...shapeOf(points, MOST_SEEN / 2, d / 2)];
    },
    begin() {
      current = undefined;
    },
    of(draw) {
      if (current?.draw !== draw) return undefined;
      const poured = fromPour(current.points, current.d);
      const points = shapeOf(poured, MOST_POINTS, current.d);
      const start = points[0]?.at ?? 0;
      if (points.length < 2) return undefined;
      return {
        midway: current.midway,
        ms: points.map(({ at }) => Math.round(at - start)),
        net: points.map(({ net }) => net),
      };
    },
  };
}

/** From the last reading before the weight first changed: how long the vessel stood there untouched tells nothing. */
function fromPour(points: readonly TracePoint[], d: Mass): readonly TracePoint[] {
  const first = points[0];
  const begun = first ? points.findIndex(({ net }) => size(minus(net, first.net)) > d) : -1;
  return begun < 0 ? [] : points.slice(begun - 1);
}
