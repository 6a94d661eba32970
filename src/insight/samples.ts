/**
 * What the facts of batches teach about hands, vessels and scales: single observations, before anything is worked out of
 * them. Each comes from one batch's facts alone.
 */
import { stateOf } from '../facts/apply.ts';
import { barsOf, lotOf } from '../facts/bars.ts';
import type { Fact } from '../facts/fact.ts';
import { standingFacts } from '../facts/undo.ts';
import { type Mass, minus, plus, sumOf, ZERO } from '../mass/mass.ts';
import type { Plan, PlannedDraw } from '../plan/model.ts';
import type { PourSeen } from '../signal/afterRun.ts';

/** One pour of one ingredient by one hand. */
export interface Pour {
  readonly batch: string;
  readonly at: string;
  readonly by: string;
  readonly ingredient: string;
  readonly name: string;
  readonly scale: string;
  readonly target: Mass;
  readonly low: Mass;
  readonly high: Mass;
  /** What was accepted. */
  readonly net: Mass;
  /** Where it came to rest first, before anything was taken back out: this is the hand's own. */
  readonly first: Mass;
  /** It had to be held, as too much was in. */
  readonly over: boolean;
  readonly stop: PourSeen | null;
}

/** What stayed behind where it was of no use. */
export interface Left {
  readonly batch: string;
  readonly where: 'cup' | 'vessel';
  /** Of a cup: the ingredient; of a vessel: its name. */
  readonly what: string;
  readonly residue: Mass;
  /** Of what was in it. */
  readonly of: Mass;
}

/** Something that left its lot for nothing. */
export interface Wasted {
  readonly batch: string;
  readonly ingredient: string;
  readonly name: string;
  readonly amount: Mass;
  readonly why: 'taken back out' | 'thrown away' | 'given up';
}

/** A batch from mix to bars. */
export interface Yield {
  readonly batch: string;
  readonly at: string;
  readonly formula: string;
  readonly name: string;
  readonly version: string;
  /** What was weighed for it. */
  readonly mix: Mass;
  /** What its bars came to. */
  readonly bars: Mass;
  readonly count: number;
  /** What its formula reckons to lose, parts per million. */
  readonly plannedPpm: number;
}

export interface Samples {
  readonly pours: readonly Pour[];
  readonly left: readonly Left[];
  readonly wasted: readonly Wasted[];
  readonly yields: readonly Yield[];
  /** Intervals of the scales, as the batch's plan has them. */
  readonly intervals: Readonly<Record<string, Mass>>;
}

export const NO_SAMPLES: Samples = { pours: [], left: [], wasted: [], yields: [], intervals: {} };

/** @param facts all facts of one batch, in order; of anything else nothing is learnt */
export function samplesOf(facts: readonly Fact[]): Samples {
  const first = facts[0];
  if (first?.kind !== 'batch-started') return NO_SAMPLES;
  const { plan } = stateOf(facts);
  const standing = standingFacts(facts);
  const draws = new Map(plan.tasks.flatMap((task) => (task.kind === 'draw' ? [[task.id, task]] : [])));
  return {
    pours: poursOf(standing, draws),
    left: leftOf(standing, draws, plan),
    wasted: wastedOf(standing, draws),
    yields: yieldOf(facts, plan),
    intervals: Object.fromEntries(Object.values(plan.scales).map(({ id, d }) => [id, d])),
  };
}

type Draws = ReadonlyMap<string, PlannedDraw>;

function poursOf(facts: readonly Fact[], draws: Draws): Pour[] {
  const held = new Map<string, Mass>();
  return facts.flatMap((fact): Pour[] => {
    if (fact.kind === 'held') held.set(fact.draw, fact.net);
    if (fact.kind === 'discarded') held.delete(fact.draw);
    const draw = fact.kind === 'weighed' ? draws.get(fact.draw) : undefined;
    // A part of a draw has no target of its own, and a lot that ended stopped the hand, not she.
    if (fact.kind !== 'weighed' || !draw || draw.part !== null || fact.lotEnded) return [];
    const { batch, at, by, ingredient, scale, target, low, high, net, takenBack, pour } = fact;
    const peak = held.get(fact.draw);
    held.delete(fact.draw);
    const first = peak ?? plus(net, takenBack);
    const stop = pour?.stop ?? null;
    const over = peak !== undefined || first > high;
    return [{ batch, at, by, ingredient, name: draw.name, scale, target, low, high, net, first, over, stop }];
  });
}

function leftOf(facts: readonly Fact[], draws: Draws, plan: Plan): Left[] {
  const nets = new Map<string, Mass>();
  const into = new Map<string, Mass>();
  const left: Left[] = [];
  const fill = (vessel: string, amount: Mass) => into.set(vessel, plus(into.get(vessel) ?? ZERO, amount));
  for (const fact of facts) {
    if (fact.kind === 'weighed') {
      nets.set(fact.draw, fact.net);
      if (fact.way !== 'cup') fill(fact.vessel, fact.net);
    } else if (fact.kind === 'tipped') {
      const draw = draws.get(fact.draw);
      const of = nets.get(fact.draw) ?? ZERO;
      fill(fact.vessel, minus(of, fact.residue));
      if (draw) left.push({ batch: fact.batch, where: 'cup', what: draw.name, residue: fact.residue, of });
    } else if (fact.kind === 'given-up') into.delete(fact.vessel);
    else if (fact.kind === 'step-done') {
      const step = plan.tasks.find((task) => task.kind === 'step' && task.id === fact.step);
      if (step?.kind !== 'step' || step.step !== 'combine' || step.vessel === null || step.into === null) continue;
      const of = into.get(step.vessel) ?? ZERO;
      const residue = fact.weighedBack?.residue;
      const name = plan.vessels[step.vessel]?.name ?? step.vessel;
      if (residue !== undefined && of > 0) left.push({ batch: fact.batch, where: 'vessel', what: name, residue, of });
      fill(step.into, minus(of, residue ?? ZERO));
      into.delete(step.vessel);
    }
  }
  return left;
}

/** What was taken back out and then went back into its jar or was set aside, by the weighing that it came from. */
function returnedOf(facts: readonly Fact[]): Map<number, Mass> {
  const weighings = new Map<string, number>();
  const returned = new Map<number, Mass>();
  for (const fact of facts) {
    if (fact.kind === 'weighed') weighings.set(fact.draw, fact.seq);
    const from = fact.kind === 'returned' ? weighings.get(fact.draw) : undefined;
    if (fact.kind === 'returned' && from !== undefined) returned.set(from, fact.amount);
  }
  return returned;
}

function wastedOf(facts: readonly Fact[], draws: Draws): Wasted[] {
  const accepted = new Map<string, Mass>();
  const returned = returnedOf(facts);
  return facts.flatMap((fact): Wasted[] => {
    const { batch } = fact;
    const row = (draw: string, amount: Mass, why: Wasted['why']): Wasted[] => {
      const of = draws.get(draw);
      return of && amount > 0 ? [{ batch, ingredient: of.ingredient, name: of.name, amount, why }] : [];
    };
    if (fact.kind === 'weighed') {
      accepted.set(fact.draw, fact.net);
      // On the spoon it went back into its jar.
      if (fact.way === 'subtract') return [];
      return row(fact.draw, minus(fact.takenBack, returned.get(fact.seq) ?? ZERO), 'taken back out');
    }
    if (fact.kind === 'discarded') return row(fact.draw, fact.amount, 'thrown away');
    if (fact.kind !== 'given-up') return [];
    return fact.draws.flatMap((draw) => row(draw, accepted.get(draw) ?? ZERO, 'given up'));
  });
}

function yieldOf(facts: readonly Fact[], plan: Plan): Yield[] {
  const bars = barsOf(facts);
  if (bars === null || bars.ended === null) return [];
  const mix = bars.mix ?? ZERO;
  const lot = lotOf(bars);
  const { id: formula, name, version } = plan.formula;
  const first = facts[0];
  if (mix <= 0 || lot.length === 0 || !first) return [];
  const made = sumOf(lot.map(({ net }) => net));
  const { batch } = first;
  return [
    {
      batch,
      at: bars.started,
      formula,
      name,
      version,
      mix: weighedFor(plan, facts) ?? mix,
      bars: made,
      count: lot.length,
      plannedPpm: plan.lossPpm,
    },
  ];
}

/** What was weighed for a batch and is in its vessels; undefined where nothing was. */
function weighedFor(plan: Plan, facts: readonly Fact[]): Mass | undefined {
  const { draws } = stateOf(facts);
  const nets = plan.tasks.flatMap((task) => (task.kind === 'draw' ? [draws[task.id]?.net ?? ZERO] : []));
  const all = sumOf(nets);
  return all > 0 ? all : undefined;
}
