/**
 * From a formula and a size to a batch that can be weighed: targets that add up exactly, and for every draw its
 * vessel, scale, way, lot and band. What can't be weighed is refused here, not at the bench, and all of it at once.
 */
import { WHOLE } from '../formula/checkFormula.ts';
import type { Formula, FormulaDraw, FormulaStep, Phase } from '../formula/model.ts';
import { type Mass, mass, minus, sumOf, ZERO } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Ingredient, Scale, Vessel, Workshop } from '../workshop/model.ts';
import { type BatchSize, sizeBatch } from './batchSize.ts';
import { type Choice, chooseWay, cupsOf } from './chooseWay.ts';
import { type Contents, combined, contentOf, filled, volumeOf } from './contents.ts';
import { allotLots, isExpired, type Piece, type Stock } from './lots.ts';
import type {
  Plan,
  PlannedDraw,
  PlannedScale,
  PlannedStep,
  PlannedVessel,
  PlanResult,
  Refusal,
  Task,
} from './model.ts';
import { noteDraw, noteVessels } from './planNotes.ts';
import { margins } from './plannedBand.ts';
import { type Refused, refuseCrumbs, refuseObstacles, refuseOverflow, refuseShort } from './refusing.ts';

/** What is carried from one task to the next. */
interface Walk {
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly batch: Mass;
  readonly today: string;
  readonly cups: readonly Vessel[];
  contents: Contents;
  /** What earlier draws have taken, by ingredient and lot. */
  readonly taken: Map<string, Mass>;
  /** The first task that overfills a vessel, and how full that gets by the end. */
  readonly overfull: Map<string, { readonly first: string; readonly ml: number }>;
  readonly tasks: Task[];
  readonly notes: string[];
  readonly refusals: Refusal[];
  readonly scales: Record<string, PlannedScale>;
  readonly vessels: Record<string, PlannedVessel>;
}

/** Every vessel that the formula's work happens in. */
function vesselsAtWork({ phases }: Formula): Set<string> {
  const used = new Set(phases.map(({ vessel }) => vessel));
  for (const item of phases.flatMap(({ work }) => work)) {
    if (item.kind === 'step') for (const vessel of [item.vessel, item.into]) if (vessel !== undefined) used.add(vessel);
  }
  return used;
}

function rememberVessel(walk: Walk, { id, name, tare }: Vessel): void {
  walk.vessels[id] = { id, name, tare };
}

function rememberScale(walk: Walk, { id, capacity, d, repeatability, port }: Scale): void {
  walk.scales[id] = { id, capacity, d, repeatability: repeatability ?? null, keyed: port === undefined };
}

function stockOf({ taken }: Walk, ingredient: Ingredient): Stock[] {
  return ingredient.lots.map((lot) => {
    return { lot, onHand: minus(lot.onHand, taken.get(`${ingredient.id} ${lot.id}`) ?? ZERO) };
  });
}

function takeFromStock({ taken }: Walk, ingredient: Ingredient, pieces: readonly Piece[]): void {
  for (const { lot, amount } of pieces) {
    const key = `${ingredient.id} ${lot.id}`;
    taken.set(key, mass((taken.get(key) ?? 0) + amount));
  }
}

/** Remembers when a vessel would overflow; it is said once a vessel, with the fullest it gets. */
function watchFilling(walk: Walk, vessel: string, task: string): void {
  const { ml } = contentOf(walk.contents, vessel);
  const usable = walk.workshop.vessels.get(vessel)?.usableMl;
  const known = walk.overfull.get(vessel);
  if (usable === undefined || ml <= Math.max(usable, known?.ml ?? 0)) return;
  walk.overfull.set(vessel, { first: known?.first ?? task, ml });
}

function refuseOverfull(walk: Walk): void {
  for (const [id, { first, ml }] of walk.overfull) {
    const vessel = walk.workshop.vessels.get(id);
    if (vessel?.usableMl === undefined) continue;
    walk.refusals.push(refuseOverflow(first, vessel, ml, vessel.usableMl, walk.batch, walk.formula));
  }
}

interface DrawAt {
  readonly id: string;
  readonly phase: Phase;
  readonly vessel: Vessel;
  readonly draw: FormulaDraw;
  readonly ingredient: Ingredient;
  readonly target: Mass;
}

function plannedDraws(at: DrawAt, pieces: readonly Piece[], { way, scale, on, fit, why }: Choice): PlannedDraw[] {
  const { id, phase, vessel, draw, ingredient, target } = at;
  const { judged, parts } = fit;
  return pieces.map(({ lot, onHand }, index): PlannedDraw => {
    const part = parts[index];
    const several = pieces.length > 1;
    return {
      kind: 'draw',
      id: several ? `${id}.${index + 1}` : id,
      phase: phase.id,
      ingredient: ingredient.id,
      name: ingredient.name,
      inci: ingredient.inci,
      vessel: vessel.id,
      way,
      scale: scale.id,
      on: on[index]?.id ?? vessel.id,
      lot: lot.id,
      lotOnHand: onHand,
      target: part?.target ?? target,
      low: part?.low ?? judged.low,
      high: part?.high ?? judged.high,
      over: draw.over,
      uncertainty: judged.uncertainty,
      guard: judged.guard,
      part: several
        ? { group: id, index: index + 1, of: pieces.length, target, low: judged.low, high: judged.high }
        : null,
      why,
      cautions: ingredient.cautions,
      note: draw.note ?? null,
    };
  });
}

/** The least that is worth a part of its own: with less, its band would reach down to nothing. */
function leastPart(target: Mass, draw: FormulaDraw): Mass {
  const { under, over } = margins(target, draw.tolerance);
  return mass(2 * Math.max(under, over));
}

function planDraw(walk: Walk, at: DrawAt): void {
  const { workshop, today, cups } = walk;
  const { draw, ingredient, target, vessel, id } = at;
  const refused: Refused = { id, draw, ingredient, target, batch: walk.batch, formula: walk.formula };
  const before = contentOf(walk.contents, vessel.id);
  const { over } = margins(target, draw.tolerance);
  const most = mass(target + over);
  walk.contents = filled(walk.contents, vessel.id, { most, ml: volumeOf(most, ingredient.density) ?? 0 });
  watchFilling(walk, vessel.id, id);

  const stock = stockOf(walk, ingredient);
  const expired = stock.filter(({ lot }) => isExpired(lot, today)).map(({ lot }) => lot);
  const allotted = allotLots(stock, target, leastPart(target, draw), today);
  // Without enough in stock the weighing is judged all the same, as if one lot held it: all refusals at once.
  const pieces = allotted.ok ? allotted.pieces : [];
  if (!allotted.ok && allotted.kind === 'short') {
    walk.refusals.push(
      refuseShort(
        refused,
        allotted.short,
        expired.map(({ id: code }) => code),
      ),
    );
  }
  if (!allotted.ok && allotted.kind === 'crumbs') walk.refusals.push(refuseCrumbs(refused));
  const stand: Piece[] = ingredient.lots.slice(0, 1).map((lot) => ({ lot, amount: target, onHand: target }));
  takeFromStock(walk, ingredient, allotted.ok ? pieces : []);

  const chosen = chooseWay({
    draw,
    target,
    pieces: allotted.ok ? pieces : stand,
    density: ingredient.density,
    vessel,
    inVessel: before.most,
    cups,
    workshop,
  });
  if (!chosen.ok) walk.refusals.push(refuseObstacles(refused, chosen.obstacles));
  if (!chosen.ok || !allotted.ok) return;

  walk.tasks.push(...plannedDraws(at, pieces, chosen.choice));
  walk.notes.push(
    ...noteDraw({ ingredient, pieces, expired, passedOver: allotted.passedOver, choice: chosen.choice, today }),
  );
  rememberScale(walk, chosen.choice.scale);
  for (const used of [vessel, ...chosen.choice.on]) rememberVessel(walk, used);
}

function planStep(walk: Walk, phase: Phase, step: FormulaStep, id: string): void {
  if (step.step === 'combine' && step.vessel !== undefined && step.into !== undefined) {
    walk.contents = combined(walk.contents, step.vessel, step.into);
    watchFilling(walk, step.into, id);
  }
  for (const name of [step.vessel, step.into]) {
    const vessel = name === undefined ? undefined : walk.workshop.vessels.get(name);
    if (vessel) rememberVessel(walk, vessel);
  }
  const planned: PlannedStep = {
    kind: 'step',
    id,
    phase: phase.id,
    step: step.step,
    say: step.say,
    vessel: step.vessel ?? null,
    into: step.into ?? null,
    forMs: step.forMs ?? null,
    times: step.times ?? null,
    until: step.until ?? null,
    cautions: step.cautions,
  };
  walk.tasks.push(planned);
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
  if (shares.reduce((sum, share) => sum + share, 0) !== WHOLE) {
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
      notes: [...new Set([...walk.notes, ...noteVessels(workshop, Object.keys(walk.vessels))])],
      cautions: formula.cautions,
    },
  };
}
