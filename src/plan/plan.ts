/**
 * From a formula and a size to a batch that can be weighed: targets that add up exactly, and for every draw its
 * vessel, scale, way, lot and band. What can't be weighed is refused here, not at the bench, and all of it at once.
 */
import { wholeOf } from '../formula/checkFormula.ts';
import { formulaNotes } from '../formula/formulaNotes.ts';
import type { Formula, FormulaDraw, Phase } from '../formula/model.ts';
import { type Mass, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Vessel, Workshop } from '../workshop/model.ts';
import { type BatchSize, sizeBatch } from './batchSize.ts';
import { cupsOf } from './chooseWay.ts';
import { lotPapers } from './lotPapers.ts';
import type { Plan, PlanResult } from './model.ts';
import { planDraw } from './planDraw.ts';
import { noteVessels } from './planNotes.ts';
import { planStep } from './planStep.ts';
import { planSum } from './planSum.ts';
import { refuseOverfull, rememberVessel, type Walk } from './walk.ts';

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

function drawsOf(phase: Phase): FormulaDraw[] {
  return phase.work.filter((item) => item.kind === 'draw');
}

/**
 * Plans a batch.
 * @param size bars or a mass; undefined for the formula's usual batch
 * @param today the day of the batch, `YYYY-MM-DD`, for the lots' last days
 */
export function makePlan(workshop: Workshop, formula: Formula, size: BatchSize, today: string): PlanResult {
  const sized = sizeBatch(formula, size);
  if ('why' in sized) return { ok: false, refusals: [{ where: null, why: sized.why, instead: null }] };
  const shares = formula.phases.flatMap((phase) => drawsOf(phase).map(({ share }) => share));
  if (shares.reduce((sum, share) => sum + share, 0) !== wholeOf(formula)) {
    const why = 'The shares of the formula do not add up to 100 %.';
    return { ok: false, refusals: [{ where: null, why, instead: null }] };
  }

  const atWork = vesselsAtWork(formula);
  const walk: Walk = {
    workshop,
    formula,
    batch: sized.mass,
    today,
    cups: cupsOf(workshop, atWork),
    contents: new Map(),
    taken: new Map(),
    overfull: new Map(),
    tasks: [],
    notes: [],
    refusals: [],
    scales: {},
    vessels: {},
  };
  const targets = splitByShares(sized.mass, shares);
  const phases: Plan['phases'][number][] = [];
  let done = 0;
  for (const phase of formula.phases) {
    const own = targets.slice(done, done + drawsOf(phase).length);
    done += own.length;
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
  if (walk.refusals.length > 0) return { ok: false, refusals: walk.refusals };

  return {
    ok: true,
    plan: {
      formula: { id: formula.id, name: formula.name, version: formula.version },
      bars: sized.bars,
      bar: formula.bar ?? null,
      lossPpm: formula.lossPpm,
      mass: sized.mass,
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
      cautions: formula.cautions,
      ...(workshop.operators.length > 0 ? { people: workshop.operators } : {}),
      ...lotPapers(workshop, walk.tasks, today),
    },
  };
}
