/** Batches that have come some way: facts as the bench would say them, up to a draw with too much on the pan. */
import { stateOf } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, plus, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { placing, sealed, weighing } from '../weighing/samplePlan.ts';

export interface Come {
  readonly state: BatchState;
  readonly facts: readonly Fact[];
}

/** What each draw weighs, and what stays in its cup. Undefined: the nearest to its target that its scale shows. */
export type Nets = (draw: PlannedDraw, target: Mass) => { readonly net: Mass; readonly residue?: Mass } | undefined;

export function onGrid(target: Mass, d: Mass): Mass {
  return mass(Math.max(1, Math.round(target / d)) * d);
}

function weighs(plan: Plan, draw: PlannedDraw, target: Mass, nets: Nets) {
  const d = plan.scales[draw.scale]?.d ?? mass(1);
  return nets(draw, target) ?? { net: onGrid(target, d) };
}

/** All draws and steps before `until` are done; `until` (if it is a draw) holds `net` on the pan. */
export function walkTo(plan: Plan, until: string, held: Mass | null, nets: Nets = () => undefined): Come {
  return walkOn(sealed([{ kind: 'batch-started', plan }, { kind: 'gathered' }]), until, held, nets);
}

/** The same, from where a batch is. */
export function walkOn(
  from: readonly Fact[],
  until: string | null,
  held: Mass | null,
  nets: Nets = () => undefined,
): Come {
  let facts = [...from];
  let state = stateOf(facts);
  const happens = (...happened: Happened[]) => {
    facts = [...facts, ...sealed(happened, facts.length)];
    state = stateOf(facts);
  };
  for (const task of state.plan.tasks) {
    if (task.kind === 'step') {
      if (task.id === until) break;
      if (!state.steps[task.id]?.done) happens({ kind: 'step-done', step: task.id, bursts: 0 });
      continue;
    }
    if (state.draws[task.id]?.status === 'done') continue;
    const known = state.vessels[task.on];
    const tare = state.plan.vessels[task.on]?.tare ?? ZERO;
    const load = known?.load ?? (task.way === 'subtract' ? plus(tare, task.lotOnHand) : tare);
    const base = state.draws[task.id]?.base ?? load;
    if (state.draws[task.id]?.base == null) happens(placing(task, base));
    if (task.id === until) {
      if (held !== null) happens({ kind: 'held', draw: task.id, net: held, over: mass(Math.max(0, held - task.high)) });
      break;
    }
    const { net, residue } = weighs(state.plan, task, wanted(state, task).target, nets);
    happens(weighing(task, base, net));
    if (task.way !== 'cup') continue;
    happens({ kind: 'tipped', draw: task.id, vessel: task.vessel, residue: residue ?? ZERO, deviation: null });
  }
  return { state, facts };
}

/** What of each line of a plan is in the vessels by the state's own account. */
export function inBowl(state: BatchState): Map<string, Mass> {
  const sums = new Map<string, Mass>();
  for (const task of state.plan.tasks) {
    if (task.kind !== 'draw') continue;
    const line = task.part?.group ?? task.id;
    const { bowl, net } = state.draws[task.id] ?? {};
    sums.set(line, plus(sums.get(line) ?? ZERO, bowl ?? net ?? ZERO));
  }
  return sums;
}
