/** Two made-up benches that weigh one batch, told by facts alone: the demo's workshop, and another with a coarser scale. */
import { apply, planned } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import type { ToldFact } from '../../src/facts/handOverFacts.ts';
import { nextTask, wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus, plus, ZERO } from '../../src/mass/mass.ts';
import type { Plan } from '../../src/plan/model.ts';
import { planPart } from '../../src/plan/plan.ts';
import { link } from '../../src/records/chain.ts';
import {
  BATCH_DAY,
  demo,
  demoFormula,
  demoFormulaText,
  demoText,
  formulaFrom,
  planOf,
  workshopFrom,
} from '../plan/fixtures.ts';
import { weighing } from '../weighing/samplePlan.ts';

export const WET_ROOM = '5b0f6c1e-7a52-4f0c-8f3e-6f1f2a9d4c10';
export const DYE_ROOM = '0b8e5a4e-3c86-4b8f-9a53-0c6d4a1f7e55';
/** The batch, and the part of it at the other bench. */
export const WHOLE = '2026-11-25-1';
export const PART = '2026-11-25-4';

/** The other bench's workshop: the same materials and vessels, a coarser bench scale, and lots of its own for two powders. */
export const otherShop = workshopFrom(
  demoText
    .replace('d: 0.1 g\n    repeatability: 0.05 g', 'd: 0.2 g\n    repeatability: 0.05 g')
    .replace('TS-5:', 'TS-9:'),
);
export const otherFormula = formulaFrom(demoFormulaText, otherShop);

export function otherPlan(phases: readonly string[], whole: Plan = planOf(demo, demoFormula)): Plan {
  const result = planPart(otherShop, otherFormula, whole, phases, BATCH_DAY);
  if (!result.ok) throw new Error(result.refusals.map(({ why }) => why).join('\n'));
  return result.plan;
}

/** A bench's log of one batch, as it grows. */
export class Told {
  readonly facts: Fact[] = [];
  state: BatchState;
  readonly #batch: string;
  readonly #from: number;

  /** @param from its first fact's place in the log */
  constructor(batch: string, plan: Plan, from = 1) {
    this.#batch = batch;
    this.#from = from;
    this.state = planned(batch, plan);
    this.say({ kind: 'batch-started', plan });
  }

  say(...happened: readonly Happened[]): void {
    for (const each of happened) {
      const seq = this.#from + this.facts.length;
      const at = `${BATCH_DAY}T10:00:00.${String(seq).padStart(3, '0')}+01:00`;
      const fact: Fact = { ...each, batch: this.#batch, seq, at, by: 'Mira Tolland' };
      this.facts.push(fact);
      this.state = apply(this.state, fact);
    }
  }

  /** Does what is next, each draw a little off its target. @returns whether there was anything to do */
  next(off: (low: Mass, high: Mass, target: Mass) => Mass = (_low, _high, target) => target): boolean {
    const task = nextTask(this.state);
    if (!task) return false;
    if (task.kind === 'step') {
      const vessel = task.vessel ?? '';
      const found = this.state.vessels[vessel]?.load;
      if (task.step !== 'sum' || found === undefined) this.say({ kind: 'step-done', step: task.id, bursts: 0 });
      else {
        const sum = { expected: found, found, allowed: ZERO, suspects: [], reason: null };
        this.say({ kind: 'sum-checked', step: task.id, vessel, scale: 'bench', ...sum });
      }
      return true;
    }
    const { low, high, target } = wanted(this.state, task);
    const net = off(low, high, target);
    const tare = this.state.plan.vessels[task.on]?.tare ?? ZERO;
    const load = this.state.vessels[task.on]?.load ?? (task.way === 'subtract' ? plus(tare, task.lotOnHand) : tare);
    const { id: draw, on: vessel, scale } = task;
    this.say({ kind: 'placed', draw, vessel, scale, load, zero: ZERO, unusual: false });
    this.say(weighing(task, load, net, { target, low, high }));
    if (task.way === 'cup') {
      const residue = mass(Math.min(10_000, minus(net, low)));
      this.say({ kind: 'tipped', draw, vessel: task.vessel, residue, deviation: null });
    }
    return true;
  }

  /** Goes on until nothing is left to do here. */
  all(off?: Parameters<Told['next']>[0]): void {
    while (this.next(off));
  }

  /** What was weighed here, in order. */
  weighed(): (Fact & { kind: 'weighed' })[] {
    return this.facts.filter((fact) => fact.kind === 'weighed');
  }

  seal(): { seq: number; hash: string } {
    return { seq: this.#from + this.facts.length - 1, hash: link('0'.repeat(64), JSON.stringify(this.facts)) };
  }
}

/** A part at the other bench, joined and confirmed. */
export function aPart(phases: readonly string[], whole?: Plan): Told {
  const part = new Told(PART, otherPlan(phases, whole), 7);
  const seal = { seq: 3, hash: '3f9a'.repeat(16) };
  part.say(
    { kind: 'joined', bench: WET_ROOM, role: 'wet_room', of: WHOLE, number: 1, seal },
    { kind: 'join-confirmed' },
  );
  return part;
}

export function bringing(part: Told, number = 1): Happened {
  const facts = part.facts as readonly ToldFact[];
  return { kind: 'brought-in', number, bench: DYE_ROOM, role: 'dye_room', part: PART, seal: part.seal(), facts };
}

/** The demo's batch, its powders weighed at the other bench and one phase taken back, weighed to its end. */
export function weighedByTwo(): readonly Fact[] {
  const told = new Told(WHOLE, planOf(demo, demoFormula));
  told.say({ kind: 'handed-over', number: 1, phases: ['A'], to: 'dye_room' });
  told.say({ kind: 'called-back', number: 1, reason: 'their jug fell down' });
  told.say({ kind: 'handed-over', number: 2, phases: ['C'], to: 'dye_room' });
  told.all();
  const part = aPart(['C']);
  part.all();
  part.say({ kind: 'finished' });
  told.say(bringing(part, 2));
  told.all();
  told.say({ kind: 'finished' });
  return told.facts;
}
