/** The tasks of the new plan: what is in, the late work right after what is on the pan, and the rest planned anew. */
import { nextTask } from '../facts/wanted.ts';
import type { PlannedDraw, PlannedStep } from '../plan/model.ts';
import { planDraw } from '../plan/planDraw.ts';
import { allCombined } from '../plan/several.ts';
import { type Walk, watchFilling } from '../plan/walk.ts';
import { stepsAgain } from './again.ts';
import type { Grown } from './growLine.ts';
import { lineOf } from './lines.ts';
import type { RescueInput } from './model.ts';

/** Top-ups in order, after those into each vessel the steps that must be repeated there. */
function lateWork(input: RescueInput, order: readonly Grown[]): (PlannedDraw | PlannedStep)[] {
  const late: (PlannedDraw | PlannedStep)[] = [];
  const topped = order.filter(({ topUps }) => topUps.length > 0);
  for (const vessel of new Set(topped.map(({ line }) => line.where))) {
    const here = topped.filter(({ line }) => line.where === vessel);
    late.push(...here.flatMap(({ topUps }) => topUps));
    late.push(
      ...stepsAgain(
        input,
        vessel,
        here.map(({ line }) => line),
      ),
    );
  }
  return late;
}

/** Place in the plan where the top-ups come: after what is held, else before what is next. */
function placeNow({ state, held }: RescueInput): number {
  const { tasks } = state.plan;
  if (held) return tasks.findIndex(({ id }) => id === held.draw) + 1;
  const next = nextTask(state);
  return next ? tasks.indexOf(next) : tasks.length;
}

const SCALED_UP = 'The batch was scaled up';

/** Pressing may speak of the number of bars in the formula's own words: the new number stands beside it. */
function toldSize(task: PlannedStep, { state }: RescueInput, bars: number | null): PlannedStep {
  if (task.step !== 'press' || bars === null || state.steps[task.id]?.done) return task;
  const others = task.cautions.filter((caution) => !caution.startsWith(SCALED_UP));
  return { ...task, cautions: [...others, `${SCALED_UP}: it gives ${bars} bars now.`] };
}

/** Walks the plan as it is, and puts into the new one what is in, the late work, and the rest planned anew. */
export function planRest(
  input: RescueInput,
  walk: Walk,
  grown: readonly Grown[],
  order: readonly Grown[],
  bars: number | null,
): void {
  const { state, workshop } = input;
  const byLine = new Map(grown.map((each) => [each.line.id, each]));
  const planned = new Set<string>();
  const now = placeNow(input);
  [...state.plan.tasks, null].forEach((task, index) => {
    if (index === now) walk.tasks.push(...lateWork(input, order));
    if (task === null) return;
    if (task.kind === 'step') {
      walk.tasks.push(toldSize(task, input, bars));
      if (state.steps[task.id]?.done || task.step !== 'combine' || !task.vessel || !task.into) return;
      walk.contents = allCombined(walk.contents, workshop.vessels, task.vessel, task.into);
      watchFilling(walk, task.into, task.id);
      return;
    }
    const each = byLine.get(lineOf(task));
    if (!each) return;
    const { line, target, parts } = each;
    const part = parts.get(task.id);
    if (part) walk.tasks.push(part);
    if (line.parts.length > 0 || planned.has(line.id)) return;
    planned.add(line.id);
    const vessel = workshop.vessels.get(line.phase.vessel);
    const { id, phase, draw, ingredient } = line;
    if (vessel) planDraw(walk, { id, phase, vessel, draw, ingredient, target });
    else walk.refusals.push({ where: id, why: `The workshop has no vessel ${phase.vessel} any more.`, instead: null });
  });
}
