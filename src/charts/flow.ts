/**
 * The book-keeping of a flow: what comes in, what leaves on the way, what is there in the end. Pure.
 *
 * Nothing is smoothed: where the figures of two stages do not agree, the difference is a part of its own.
 */

export interface FlowPart {
  readonly name: string;
  /** In any unit, the same for all of a flow; whole numbers add up exactly. Below zero: it goes the other way. */
  readonly value: number;
  /** Worked out here, as the difference of what is known: `lost` left without a name, `gained` came in without one. */
  readonly difference?: 'lost' | 'gained';
}

export interface FlowStage {
  readonly name: string;
  /** All that is there. */
  readonly total: number;
  /** What is known to leave after it and not to reach the next stage. */
  readonly off: readonly FlowPart[];
}

export interface FlowGiven {
  /** What comes in, and what it is called together. */
  readonly name: string;
  readonly sources: readonly FlowPart[];
  /** What leaves before the first stage. */
  readonly off: readonly FlowPart[];
  readonly stages: readonly FlowStage[];
  /** What it became; null where that is not known. */
  readonly ends: { readonly name: string; readonly parts: readonly FlowPart[] } | null;
}

/** A stage with what joins before it. `total` is what came on from the stage before, less its `off`, and the joins. */
export interface FlowStep extends FlowStage {
  readonly joins: readonly FlowPart[];
}

export interface Flow {
  readonly sources: readonly FlowPart[];
  /** The first is all sources together; where there are ends, the last is all ends together. */
  readonly steps: readonly FlowStep[];
  readonly ends: readonly FlowPart[];
}

export const LOST = 'not accounted for';
export const GAINED = 'more than came in';

/** Works out the differences, so that as much leaves each stage as came in. Parts of nothing are left out. */
export function flowOf({ name, sources, off, stages, ends }: FlowGiven): Flow {
  const real = sources.filter(({ value }) => value > 0);
  const last = ends?.parts.filter(({ value }) => value > 0) ?? [];
  const all = last.length > 0 && ends ? [...stages, { name: ends.name, total: sum(last), off: [] }] : stages;
  const steps: FlowStep[] = [{ name, total: sum(real), off: off.filter(isThere), joins: [] }];
  for (const { off: after, ...stage } of all) {
    const before = steps.at(-1);
    if (!before) break;
    const leaves = before.off.filter(({ value }) => value > 0);
    const joins = before.off.filter(({ value }) => value < 0).map((part) => ({ ...part, value: -part.value }));
    const difference = stage.total - (before.total + sum(joins) - sum(leaves));
    if (difference < 0) leaves.push({ name: LOST, value: -difference, difference: 'lost' });
    if (difference > 0) joins.push({ name: GAINED, value: difference, difference: 'gained' });
    steps[steps.length - 1] = { ...before, off: leaves };
    steps.push({ ...stage, off: after.filter(isThere), joins });
  }
  return { sources: real, steps, ends: last };
}

function isThere({ value }: FlowPart): boolean {
  return value !== 0;
}

export function sum(parts: readonly FlowPart[]): number {
  return parts.reduce((total, { value }) => total + value, 0);
}

/** The largest parts as they are, the others as one; none is left out. @param most at least 1 */
export function largest(parts: readonly FlowPart[], most: number, nameOthers: (count: number) => string): FlowPart[] {
  if (parts.length <= most) return [...parts];
  const bySize = [...parts].sort((a, b) => b.value - a.value);
  const others = bySize.slice(most - 1);
  return [...bySize.slice(0, most - 1), { name: nameOthers(others.length), value: sum(others) }];
}
