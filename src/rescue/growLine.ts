/** What becomes of one line in the larger batch, and what that takes from stock and room. */
import { greater, lesser, type Mass, minus, plus, ZERO } from '../mass/mass.ts';
import { filled, volumeOf } from '../plan/contents.ts';
import { grams } from '../plan/inWords.ts';
import type { PlannedDraw } from '../plan/model.ts';
import type { Judged } from '../plan/plannedBand.ts';
import { vesselById } from '../plan/several.ts';
import { type Walk, watchFilling } from '../plan/walk.ts';
import { lateCautions } from './again.ts';
import { type Asked, fateOf } from './fate.ts';
import type { Line } from './lines.ts';
import type { LeftAlone, RescueInput } from './model.ts';
import { topUp } from './topUp.ts';

/** A line with its place in the larger batch. */
export interface Grown {
  readonly line: Line;
  readonly target: Mass;
  /** Its weighings as the new plan has them, by id. */
  readonly parts: Map<string, PlannedDraw>;
  readonly topUps: PlannedDraw[];
  /** What will be in. */
  amount: Mass;
  /** What must still be weighed of it, whether that can be done or not. */
  needs: Mass;
}

/** The weighings of a line that gets no more, under the band of its new target. The last one carries the rest. */
function partsAlone({ parts, id }: Line, target: Mass, judged: Judged): Map<string, PlannedDraw> {
  const { low, high, guard } = judged;
  let earlier = ZERO;
  let rest = target;
  return new Map(
    parts.map(({ draw, amount }, index) => {
      const isLast = index === parts.length - 1;
      const own = isLast
        ? { target: rest, low: minus(low, earlier), high: greater(ZERO, minus(high, earlier)), guard }
        : { target: lesser(greater(ZERO, amount), rest), low: lesser(draw.low, amount) };
      earlier = plus(earlier, amount);
      rest = minus(rest, own.target);
      const part = { group: id, index: index + 1, of: parts.length, target, low, high };
      return [draw.id, { ...draw, ...own, part: draw.id === id && parts.length === 1 ? null : part }];
    }),
  );
}

/** Plans what becomes of a line that is in. */
export function growLine(input: RescueInput, walk: Walk, grown: Grown, asked: Asked, left: LeftAlone[]): void {
  const { line, target } = grown;
  const fate = fateOf(input, line, target, asked, walk.taken);
  if (!fate || fate.kind === 'too much') {
    const { name } = line.ingredient;
    const why = fate
      ? `${name}: ${grams(line.amount)} are in, more than its band up to ${grams(fate.judged.high)} or its share of ${grams(target)}.`
      : `${name}: the workshop does not have the scale any more that it was weighed on.`;
    walk.refusals.push({ where: line.id, why, instead: null });
    return;
  }
  const { judged } = fate;
  const isNeeded = fate.kind === 'needs more' || (fate.kind === 'goes on' && fate.needed);
  if (isNeeded) grown.needs = minus(target, line.amount);
  if (fate.kind === 'goes on') {
    const more = minus(target, line.amount);
    const [held] = line.parts.filter((part) => part.held);
    const key = held && `${held.draw.ingredient} ${held.draw.lot}`;
    if (key) walk.taken.set(key, plus(walk.taken.get(key) ?? ZERO, more));
    fillUp(walk, line, minus(greater(target, judged.high), line.amount));
    grown.amount = target;
  } else if (fate.kind === 'needs more' || fate.mayGrow) {
    if (growByTopUp(input, walk, grown, fate.kind === 'stays')) return;
  }
  for (const [id, draw] of partsAlone(line, target, judged)) grown.parts.set(id, draw);
  if (fate.kind !== 'stays') return;
  const { id, ingredient, amount } = line;
  left.push({ draw: id, name: ingredient.name, amount, target, low: judged.low, high: judged.high });
}

/** What is held gets so much more at most. */
function fillUp(walk: Walk, { id, where, ingredient }: Line, most: Mass): void {
  walk.contents = filled(walk.contents, where, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
  watchFilling(walk, where, id);
}

/** @returns false when it may stay as it is and is left so */
function growByTopUp(input: RescueInput, walk: Walk, grown: Grown, mayStay: boolean): boolean {
  const { line, target } = grown;
  const id = line.where;
  const vessel = vesselById(walk.workshop.vessels, id);
  if (!vessel) {
    if (!mayStay)
      walk.refusals.push({ where: line.id, why: `The workshop has no vessel ${id} any more.`, instead: null });
    return !mayStay;
  }
  const result = topUp(walk, { line, target, vessel, mayStay, late: () => lateCautions(input, id, line) });
  if (!result.ok) {
    if (!mayStay) walk.refusals.push(result.refusal);
    return !mayStay;
  }
  line.parts.forEach(({ draw, amount, held }, index) => {
    // What is held becomes a part that is just what it weighs.
    const own = held ? { low: lesser(draw.low, amount), high: greater(draw.high, amount) } : {};
    const target = greater(ZERO, amount);
    grown.parts.set(draw.id, { ...draw, ...own, target, part: result.part(index + 1) });
  });
  grown.topUps.push(...result.draws);
  grown.amount = target;
  return true;
}
