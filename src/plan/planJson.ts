/** A plan for other programs. Masses are strings of exact decimal grams, so that no reader loses digits. */
import { exactGrams } from '../mass/text.ts';
import type { Plan, PlannedDraw, Task } from './model.ts';
import { works } from './preference.ts';
import { sayVerdict } from './printWhy.ts';
import type { Considered } from './walk.ts';

function drawJson(draw: PlannedDraw) {
  const { part } = draw;
  return {
    kind: 'draw',
    id: draw.id,
    phase: draw.phase,
    ingredient: draw.ingredient,
    name: draw.name,
    inci: draw.inci,
    vessel: draw.vessel,
    scale: draw.scale,
    way: draw.way,
    on: draw.on,
    lot: draw.lot,
    lot_on_hand_g: exactGrams(draw.lotOnHand),
    target_g: exactGrams(draw.target),
    low_g: exactGrams(draw.low),
    high_g: exactGrams(draw.high),
    over: draw.over,
    uncertainty_g: exactGrams(draw.uncertainty),
    guard_g: exactGrams(draw.guard),
    part: part && {
      group: part.group,
      index: part.index,
      of: part.of,
      target_g: exactGrams(part.target),
      low_g: exactGrams(part.low),
      high_g: exactGrams(part.high),
    },
    why: draw.why,
    cautions: draw.cautions,
    note: draw.note,
  };
}

function taskJson(task: Task) {
  if (task.kind === 'draw') return drawJson(task);
  const { forMs, ...step } = task;
  return { ...step, for_ms: forMs };
}

function mapValues<T, R>(of: Readonly<Record<string, T>>, change: (value: T) => R): Record<string, R> {
  return Object.fromEntries(Object.entries(of).map(([key, value]) => [key, change(value)]));
}

/** The plan as plain data for `JSON.stringify`; tasks stand in the order of work. */
export function planJson(plan: Plan) {
  return {
    formula: plan.formula,
    bars: plan.bars,
    bar_g: plan.bar === null ? null : exactGrams(plan.bar),
    loss_ppm: plan.lossPpm,
    mass_g: exactGrams(plan.mass),
    phases: plan.phases.map(({ mass, ...phase }) => ({ ...phase, mass_g: exactGrams(mass) })),
    tasks: plan.tasks.map(taskJson),
    scales: mapValues(plan.scales, ({ id, capacity, d, repeatability, keyed }) => ({
      id,
      capacity_g: exactGrams(capacity),
      d_g: exactGrams(d),
      repeatability_g: repeatability === null ? null : exactGrams(repeatability),
      keyed,
    })),
    vessels: mapValues(plan.vessels, ({ id, name, tare }) => ({ id, name, tare_g: exactGrams(tare) })),
    notes: plan.notes,
    cautions: plan.cautions,
  };
}

/** What was considered for each draw: every candidate, whether it would work, and what is said of it. */
export function consideredJson(considered: readonly Considered[]) {
  return considered.map((all) => ({
    draw: all.id,
    ingredient: all.name,
    target_g: exactGrams(all.target),
    candidates: all.chosen.candidates.map((candidate) => ({
      way: candidate.way,
      scale: candidate.scale.id,
      on: candidate.on.map(({ id }) => id),
      parts_g: candidate.pieces.map(({ amount }) => exactGrams(amount)),
      works: works(candidate),
      taken: all.chosen.ok && candidate === all.chosen.at,
      why: sayVerdict(all, candidate),
    })),
  }));
}
