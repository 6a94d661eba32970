/** The size at which something begins, or ceases, to work: found by trying, so that its neighbour does not work. */
import { type Mass, mass } from '../mass/mass.ts';

/** The step that a batch size is told in, micrograms: 0.1 g below 100 g, 1 g below 10 kg, then 0.1 kg. */
export function stepAt(size: number): number {
  if (size >= 10_000_000_000) return 100_000_000;
  return size < 100_000_000 ? 100_000 : 1_000_000;
}

/** Between a number that works and one that does not: the last that works before the edge. */
function edge(works: (at: number) => boolean, good: number, bad: number): number {
  let [inside, outside] = [good, bad];
  while (Math.abs(inside - outside) > 1) {
    const middle = Math.trunc((inside + outside) / 2);
    if (works(middle)) inside = middle;
    else outside = middle;
  }
  return inside;
}

/**
 * The number nearest to a start, up or down from it as `bound` has it, that works while the one before does not.
 * @param start where the edge is expected; it need not work
 * @param least, most nothing outside them is tried, or taken to work
 */
export function edgeNear(
  works: (at: number) => boolean,
  bound: 'least' | 'most',
  start: number,
  least: number,
  most: number,
): number | undefined {
  if (start < least || start > most) return undefined;
  const begins = works(start);
  // Towards more room where it does not work yet; else towards the edge.
  const direction = (bound === 'least') === begins ? -1 : 1;
  const end = direction < 0 ? least : most;
  let before = start;
  for (let stride = 1; before !== end; stride *= 2) {
    const next = direction * (before + direction * stride - end) >= 0 ? end : before + direction * stride;
    if (works(next) !== begins) return begins ? edge(works, before, next) : edge(works, next, before);
    before = next;
  }
  return undefined;
}

/** The same for a batch size, in the steps that it is told in. @param estimate where the edge is expected */
export function sizeNear(works: (size: Mass) => boolean, bound: 'least' | 'most', estimate: Mass): Mass | undefined {
  const step = stepAt(estimate);
  const start = Math.max(1, bound === 'least' ? Math.ceil(estimate / step) : Math.floor(estimate / step));
  const tried = (at: number) => works(mass(at * step));
  const found = edgeNear(tried, bound, start, 1, start * 16);
  if (found === undefined) return undefined;
  const size = mass(found * step);
  // Where the search has come to sizes that are told more finely, or less: in their step.
  return stepAt(size) === step ? size : sizeNear(works, bound, size);
}
