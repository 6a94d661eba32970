/** A line of many points told by few: those that the shape needs, each as it was seen. */
import type { Mass } from '../mass/mass.ts';

export interface TracePoint {
  /** Milliseconds, rising from point to point. */
  readonly at: number;
  readonly net: Mass;
}

interface Stretch {
  readonly from: number;
  readonly to: number;
  /** The point between that lies farthest off the straight line; undefined when none lies off it. */
  readonly far: number | undefined;
  readonly off: number;
}

/**
 * The first and the last point, and between them again and again the one that lies farthest off the line drawn so far
 * (the way of Ramer, Douglas and Peucker, with the distance in weight at the point's own time). So a peak stays before a
 * tremble does, and no point is made up.
 * @param most at most so many points are kept, at least 2
 * @param within points that lie no farther off than this, in micrograms, are not needed
 */
export function shapeOf(points: readonly TracePoint[], most: number, within: number): readonly TracePoint[] {
  if (points.length <= 2) return points;
  const stretches = [stretchOf(points, 0, points.length - 1)];
  while (stretches.length + 1 < most) {
    const worst = stretches.reduce((a, b) => (b.off > a.off ? b : a));
    if (worst.far === undefined || worst.off <= within) break;
    const { from, to, far } = worst;
    stretches.splice(stretches.indexOf(worst), 1, stretchOf(points, from, far), stretchOf(points, far, to));
  }
  return points.filter((_, index) => index === 0 || stretches.some(({ to }) => to === index));
}

function stretchOf(points: readonly TracePoint[], from: number, to: number): Stretch {
  const [first, last] = [points[from], points[to]];
  let far: number | undefined;
  let off = 0;
  if (first && last) {
    const slope = (last.net - first.net) / Math.max(1, last.at - first.at);
    for (let index = from + 1; index < to; index++) {
      const { at, net } = points[index] ?? first;
      const here = Math.abs(net - first.net - slope * (at - first.at));
      if (here > off) [far, off] = [index, here];
    }
  }
  return { from, to, far, off };
}
