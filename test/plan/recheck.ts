/**
 * Whether a plan asks for anything that can't be done: every rule looked at again on the finished plan alone, apart from
 * the planner. Says what is wrong; nothing when all is well.
 */
import type { Formula } from '../../src/formula/model.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import type { Vessel, Workshop } from '../../src/workshop/model.ts';
import { bandOn, sides } from './search.ts';

const MILLION = 1_000_000;

/** What a vessel may hold at most, by weight and by volume. */
interface Held {
  most: number;
  ml: number;
}

export function recheck(workshop: Workshop, formula: Formula, plan: Plan): string[] {
  const faults: string[] = [];
  const held = new Map<string, Held>();
  const left = new Map<string, number>();
  const draws = formula.phases.flatMap(({ id, work }) =>
    work.filter((item) => item.kind === 'draw').map((draw, index) => ({ draw, id: `${id}${index + 1}` })),
  );
  // `bowl+2` is the second of the bowls.
  const vesselOf = (id: string): Vessel => {
    const [base = '', number = '1'] = id.split('+');
    const vessel = workshop.vessels.get(base);
    if (!vessel || Number(number) > (vessel.count ?? 1)) throw new Error(`the workshop has no ${id}`);
    return vessel;
  };
  const inIt = (id: string): Held => held.get(id) ?? { most: 0, ml: 0 };
  const watch = (where: string, id: string) => {
    const { usableMl } = vesselOf(id);
    if (usableMl !== undefined && inIt(id).ml > usableMl * (1 + 1e-12)) faults.push(`${where}: ${id} overflows`);
  };
  const target = new Map<string, number>();
  const all = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw');
  for (const { id, draw } of draws) {
    const parts = all.filter((task) => (task.part?.group ?? task.id) === id);
    target.set(
      id,
      parts.reduce((sum, part) => sum + part.target, 0),
    );
    if (parts.length === 0 || parts.some(({ ingredient }) => ingredient !== draw.ingredient))
      faults.push(`${id} is lost`);
    if (parts.length > 1 && parts.some(({ part }, index) => part?.index !== index + 1 || part.of !== parts.length)) {
      faults.push(`${id}: its parts are not in order`);
    }
  }
  if ([...target.values()].reduce((sum, each) => sum + each, 0) !== plan.mass) faults.push('targets do not add up');

  for (const task of plan.tasks) {
    if (task.kind === 'step') {
      const { vessel, into } = task;
      if (task.step === 'sum' && vessel !== null) {
        const gross = vesselOf(vessel).tare + inIt(vessel).most;
        if ([...workshop.scales.values()].every(({ capacity }) => gross > capacity)) {
          faults.push(`${task.id}: no scale carries ${vessel}`);
        }
      }
      if (task.step !== 'combine' || vessel === null || into === null) continue;
      for (const from of [...held.keys()].filter((id) => id.split('+')[0] === vessel)) {
        const [a, b] = [inIt(from), inIt(into)];
        held.set(into, { most: a.most + b.most, ml: a.ml + b.ml });
        held.set(from, { most: 0, ml: 0 });
      }
      watch(task.id, into);
      continue;
    }
    const group = task.part?.group ?? task.id;
    const formulaDraw = draws.find(({ id }) => id === group)?.draw;
    const scale = workshop.scales.get(task.scale);
    const ingredient = workshop.ingredients.get(task.ingredient);
    const lot = ingredient?.lots.find(({ id }) => id === task.lot);
    if (!formulaDraw || !scale || !lot) {
      faults.push(`${task.id}: no such draw, scale or lot`);
      continue;
    }
    const whole = target.get(group) ?? 0;
    const parts = task.part?.of ?? 1;
    const { under, over } = sides(whole, formulaDraw.tolerance);
    const band = bandOn(scale, whole, formulaDraw.tolerance, parts);
    if (!band.isGood) faults.push(`${task.id}: ${scale.id} can't judge it`);
    const planned = task.part ?? task;
    if (planned.low !== band.low || planned.high !== band.high || task.guard !== band.guard) {
      faults.push(`${task.id}: its band is not that of the formula`);
    }
    if (task.low % scale.d !== 0 || task.high % scale.d !== 0 || task.low < scale.d || task.low > task.high) {
      faults.push(`${task.id}: no weight to show`);
    }
    if (formulaDraw.way !== undefined && formulaDraw.way !== task.way) faults.push(`${task.id}: another way`);

    const isLast = task.part === null || task.part.index === parts;
    const most = task.target + over + (isLast ? (parts - 1) * under : 0);
    const on = vesselOf(task.on);
    const onHand = left.get(`${task.ingredient} ${lot.id}`) ?? lot.onHand;
    if (onHand !== task.lotOnHand || onHand < task.target) faults.push(`${task.id}: the lot does not hold it`);
    left.set(`${task.ingredient} ${lot.id}`, onHand - task.target);
    const cupVolume = ingredient?.density === undefined ? 0 : most / MILLION / ingredient.density;
    if (task.way === 'cup') {
      if (on.tare + Math.min(most, parts > 1 ? most : task.high) > scale.capacity)
        faults.push(`${task.id}: cup too heavy`);
      if (on.usableMl !== undefined && cupVolume > on.usableMl) faults.push(`${task.id}: the cup overflows`);
    }
    if (task.way === 'subtract' && (lot.jar !== task.on || on.tare + onHand > scale.capacity)) {
      faults.push(`${task.id}: the jar is too heavy, or another`);
    }
    const before = inIt(task.vessel);
    // The margin above comes on top once for all parts in one vessel: a later part has what the earlier ones left of it.
    const isFirstHere = !all.some((other) => {
      return other.part?.group === group && other.vessel === task.vessel && other.part.index < (task.part?.index ?? 1);
    });
    // In several vessels the last one may have to make up what the others are short of.
    const spans = all.some((other) => other.part?.group === group && other.vessel !== task.vessel);
    const gross = on.tare + before.most - (isFirstHere ? 0 : over) + (spans ? Math.max(most, task.high) : task.high);
    if (task.way === 'add' && (task.on !== task.vessel || gross > scale.capacity)) {
      faults.push(`${task.id}: too heavy for the pan`);
    }
    const late = spans && isLast ? (parts - 1) * under : 0;
    const amount = task.target + (isFirstHere ? over : 0) + late;
    held.set(task.vessel, {
      most: before.most + amount,
      ml: before.ml + (ingredient?.density === undefined ? 0 : amount / MILLION / ingredient.density),
    });
    watch(task.id, task.vessel);
  }
  return faults;
}
