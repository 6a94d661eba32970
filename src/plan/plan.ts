/**
 * From a formula and a size to a batch that can be weighed: targets that add up exactly, and for every draw its
 * vessel, scale, way, lot and band. What can't be weighed is refused here, not at the bench, and all of it at once.
 */
import { wholeOf } from '../formula/checkFormula.ts';
import { formulaNotes } from '../formula/formulaNotes.ts';
import type { Formula, FormulaDraw, Phase } from '../formula/model.ts';
import { type Mass, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Ingredient, Vessel, Workshop } from '../workshop/model.ts';
import { type BatchSize, sizeBatch } from './batchSize.ts';
import { cupsOf } from './chooseWay.ts';
import { lotPapers } from './lotPapers.ts';
import { labelKept, materialsOf } from './materials.ts';
import type { Plan, PlanResult, Refusal, Task } from './model.ts';
import { planDraw } from './planDraw.ts';
import { noteVessels } from './planNotes.ts';
import { planStep } from './planStep.ts';
import { planSum } from './planSum.ts';
import { haveReady } from './precautions.ts';
import { tryFixes } from './tryFixes.ts';
import { type Considered, refuseOverfull, rememberVessel, type Walk } from './walk.ts';

/** Every vessel that the formula's work happens in. */
export function vesselsAtWork({ phases }: Formula): Set<string> {
  const used = new Set(phases.map(({ vessel }) => vessel));
  for (const item of phases.flatMap(({ work }) => work)) {
    if (item.kind === 'step') for (const vessel of [item.vessel, item.into]) if (vessel !== undefined) used.add(vessel);
  }
  return used;
}

/** Plans one phase. @param targets the masses of its draws, in order */
function planPhase(walk: Walk, phase: Phase, vessel: Vessel, targets: readonly Mass[]): void {
  let draws = 0;
  let steps = 0;
  for (const item of phase.work) {
    if (item.kind === 'step') {
      steps += 1;
      planStep(walk, phase, item, `${phase.id}/${steps}`);
      continue;
    }
    const target = targets[draws] ?? ZERO;
    draws += 1;
    const id = `${phase.id}${draws}`;
    const ingredient = walk.workshop.ingredients.get(item.ingredient);
    if (!ingredient) {
      const why = `The workshop has no ingredient \`${item.ingredient}\`.`;
      walk.refusals.push({ where: id, why, instead: 'Enter it in the workshop file.' });
    } else if (target <= 0) {
      const why = `${ingredient.name}: nothing is left to weigh in a batch of this size.`;
      walk.refusals.push({ where: id, why, instead: 'A larger batch.' });
    } else {
      planDraw(walk, { id, phase, vessel, draw: item, ingredient, target });
      if (draws === drawsOf(phase).length) planSum(walk, phase, vessel);
    }
  }
}

/** The ingredients of a plan's draws, each once. */
function drawnOf({ ingredients }: Workshop, tasks: readonly Task[]): Ingredient[] {
  const drawn = new Set(tasks.flatMap((task) => (task.kind === 'draw' ? [task.ingredient] : [])));
  return [...drawn].map((id) => ingredients.get(id)).filter((each) => each !== undefined);
}

function drawsOf(phase: Phase): FormulaDraw[] {
  return phase.work.filter((item) => item.kind === 'draw');
}

/** The walk through a batch, with all that was planned and refused on it. */
interface Walked {
  readonly walk: Walk;
  readonly phases: Plan['phases'];
}

/**
 * Walks through a batch of a size.
 * @param considered where given, it is filled with every candidate of every draw
 * @param only phases that are planned; the shares of the others count all the same
 */
function walkThrough(
  workshop: Workshop,
  formula: Formula,
  size: Mass,
  today: string,
  considered?: Considered[],
  only?: readonly string[],
): Walked {
  const shares = formula.phases.flatMap((phase) => drawsOf(phase).map(({ share }) => share));
  const walk: Walk = {
    workshop,
    formula,
    batch: size,
    today,
    cups: cupsOf(workshop, vesselsAtWork(formula)),
    contents: new Map(),
    taken: new Map(),
    overfull: new Map(),
    tasks: [],
    notes: [],
    refusals: [],
    scales: {},
    vessels: {},
    ...(considered ? { considered } : {}),
  };
  const targets = splitByShares(size, shares);
  const phases: Plan['phases'][number][] = [];
  let done = 0;
  for (const phase of formula.phases) {
    const own = targets.slice(done, done + drawsOf(phase).length);
    done += own.length;
    if (only && !only.includes(phase.id)) continue;
    phases.push({ id: phase.id, name: phase.name, vessel: phase.vessel, mass: sumOf(own) });
    const vessel = workshop.vessels.get(phase.vessel);
    if (!vessel) {
      const why = `The workshop has no vessel \`${phase.vessel}\` for phase ${phase.id}.`;
      walk.refusals.push({ where: phase.id, why, instead: 'Enter it in the workshop file.' });
      continue;
    }
    rememberVessel(walk, vessel);
    planPhase(walk, phase, vessel, own);
  }
  refuseOverfull(walk);
  return { walk, phases };
}

/** What is refused at a size; for trying what would help. */
export function refusedAt(workshop: Workshop, formula: Formula, size: Mass, today: string): readonly Refusal[] {
  return walkThrough(workshop, formula, size, today).walk.refusals;
}

/** Every candidate of every draw at a size, whether it can be planned or not. */
export function consideredAt(workshop: Workshop, formula: Formula, size: Mass, today: string): readonly Considered[] {
  const considered: Considered[] = [];
  walkThrough(workshop, formula, size, today, considered);
  return considered;
}

/** A plan with what was considered for each of its draws, whether it could be planned or not. */
export interface Considering {
  readonly result: PlanResult;
  readonly considered: readonly Considered[];
}

/**
 * Plans a batch.
 * @param size bars or a mass; undefined for the formula's usual batch
 * @param today the day of the batch, `YYYY-MM-DD`, for the lots' last days
 */
export function makePlan(workshop: Workshop, formula: Formula, size: BatchSize, today: string): PlanResult {
  return considerPlan(workshop, formula, size, today).result;
}

/** The same, with every candidate of every draw. @param tries whether to try what would help where it is refused */
export function considerPlan(
  workshop: Workshop,
  formula: Formula,
  size: BatchSize,
  today: string,
  tries = true,
): Considering {
  const refused = (why: string): Considering => {
    return { result: { ok: false, refusals: [{ where: null, why, instead: null }] }, considered: [] };
  };
  const sized = sizeBatch(formula, size);
  if ('why' in sized) return refused(sized.why);
  const shares = formula.phases.flatMap((phase) => drawsOf(phase).map(({ share }) => share));
  if (shares.reduce((sum, share) => sum + share, 0) !== wholeOf(formula)) {
    return refused('The shares of the formula do not add up to 100 %.');
  }

  const considered: Considered[] = [];
  const { walk, phases } = walkThrough(workshop, formula, sized.mass, today, considered);
  if (walk.refusals.length > 0) {
    if (!tries) return { result: { ok: false, refusals: walk.refusals }, considered };
    const found = tryFixes({ workshop, formula, size: sized.mass }, walk.refusals, (trial) =>
      refusedAt(trial.workshop, trial.formula, trial.size, today),
    );
    return { result: { ok: false, ...found }, considered };
  }

  const plan: Plan = {
    ...planOf(formula, workshop, walk, phases, today),
    bars: sized.bars,
    bar: formula.bar ?? null,
    lossPpm: formula.lossPpm,
    mass: sized.mass,
  };
  return { result: { ok: true, plan }, considered };
}

/** What a walk came to, without the size of the batch. */
function planOf(
  formula: Formula,
  workshop: Workshop,
  walk: Walk,
  phases: Plan['phases'],
  today: string,
): Omit<Plan, 'bars' | 'bar' | 'lossPpm' | 'mass'> {
  return {
    formula: { id: formula.id, name: formula.name, version: formula.version },
    phases,
    tasks: walk.tasks,
    scales: walk.scales,
    vessels: walk.vessels,
    notes: [
      ...new Set([
        ...formulaNotes(formula, workshop),
        ...walk.notes,
        ...noteVessels(workshop, Object.keys(walk.vessels)),
      ]),
    ],
    cautions: [...haveReady(drawnOf(workshop, walk.tasks)), ...formula.cautions],
    ...(workshop.operators.length > 0 ? { people: workshop.operators } : {}),
    ...lotPapers(workshop, walk.tasks, today),
    ...materialsOf(workshop, walk.tasks),
    ...labelKept(formula),
  };
}

/**
 * Plans some phases of a batch that another bench has planned, for the scales, vessels and lots of this one: the same targets, its
 * own bands. The part makes no bars.
 * @param whole that bench's plan
 * @param today the day, `YYYY-MM-DD`, for the lots' last days
 */
export function planPart(
  workshop: Workshop,
  formula: Formula,
  whole: Plan,
  phases: readonly string[],
  today: string,
): PlanResult {
  if (formula.id !== whole.formula.id || formula.version !== whole.formula.version) {
    const why = `The formula ${formula.name} is of version ${formula.version} here, and the batch was begun by version ${whole.formula.version}.`;
    return { ok: false, refusals: [{ where: null, why, instead: OTHER_FORMULA }] };
  }
  const { walk, phases: walked } = walkThrough(workshop, formula, whole.mass, today, undefined, phases);
  const refused = walk.refusals.map(({ where, why }) => ({ where, why, instead: null }));
  if (refused.length > 0) return { ok: false, refusals: refused };
  if (!isPartOf({ phases: walked, tasks: walk.tasks }, whole, phases)) {
    const why = `The formula ${formula.name} has other amounts or vessels here than the batch was begun by.`;
    return { ok: false, refusals: [{ where: null, why, instead: OTHER_FORMULA }] };
  }
  const mass = sumOf(walked.map((phase) => phase.mass));
  const plan = { ...planOf(formula, workshop, walk, walked, today), bars: null, bar: null, lossPpm: 0, mass };
  return { ok: true, plan };
}

const OTHER_FORMULA = "Take over that bench's formula file as it is, and join again.";

/** Whether a plan is of these phases of another: the same amounts of each line, to the microgram, into the same vessels. */
export function isPartOf(
  part: Pick<Plan, 'phases' | 'tasks'>,
  whole: Pick<Plan, 'phases' | 'tasks'>,
  phases: readonly string[],
): boolean {
  const briefly = ({ phases: of, tasks }: Pick<Plan, 'phases' | 'tasks'>) => [
    of.map(({ id, vessel }) => [id, vessel]),
    targetsOf(tasks),
  ];
  const handed = {
    phases: whole.phases.filter(({ id }) => phases.includes(id)),
    tasks: whole.tasks.filter(({ phase }) => phases.includes(phase)),
  };
  return JSON.stringify(briefly(part)) === JSON.stringify(briefly(handed));
}

/** What is to be weighed of each line of the formula, whatever its lots and parts; in the order of the lines' names. */
function targetsOf(tasks: readonly Task[]): readonly (readonly [string, string, Mass])[] {
  const lines = new Map<string, readonly [string, string, Mass]>();
  for (const task of tasks) {
    if (task.kind !== 'draw') continue;
    const line = task.part?.group ?? task.id;
    lines.set(line, [line, task.ingredient, task.part?.target ?? task.target]);
  }
  return [...lines.values()].sort(([a], [b]) => (a < b ? -1 : 1));
}
