/** The maker's hands in work between draws, when she touches no key: vessels are lifted, emptied and put on pans. */
import type { BatchState } from '../../src/facts/batchState.ts';
import { isDone } from '../../src/facts/isDone.ts';
import { mass } from '../../src/mass/mass.ts';
import type { PlannedStep } from '../../src/plan/model.ts';
import { contentOf } from '../../src/simulate/holder.ts';
import type { Bench } from './bench.ts';

/** What stays in a vessel that is emptied into another, and of that after a rinse (common practice, no source). */
const STAYS = 0.01;
const STAYS_AFTER_RINSE = 0.2;
/** A pan that was just cleared is left alone so long: rest is judged over 0.6 s. */
const CLEARED_MS = 1200;
/** What was put on stays so long before it is tried again: it has to rest, and then to stand for the dwell. */
const PUT_ON_MS = 3000;
const WIDE_SCALE = 'bench';

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

export class StepHands {
  readonly #bench: Bench;
  readonly #emptied = new Set<string>();

  constructor(bench: Bench) {
    this.#bench = bench;
  }

  /** Does what a step needs next; to be called until it is done. @param headline what the screen says */
  async work(state: BatchState, step: PlannedStep, headline: string): Promise<void> {
    const { world, hand } = this.#bench;
    const id = step.vessel ?? state.plan.phases.find((phase) => phase.id === step.phase)?.vessel;
    if (id === undefined) throw new Error(`step ${step.id} is done in no vessel`);
    const vessel = world.vessel(id);
    if ((step.step === 'combine' || step.step === 'rinse') && step.vessel !== null && step.into !== null) {
      hand.lift(vessel);
      await pause(CLEARED_MS);
      const stays = step.step === 'rinse' ? STAYS_AFTER_RINSE : STAYS;
      if (!this.#emptied.has(step.id)) {
        hand.tip(vessel, world.vessel(step.into), mass(Math.round(contentOf(vessel) * stays)));
      }
      this.#emptied.add(step.id);
      return this.#putOn(id, WIDE_SCALE);
    }
    const isOver = step.forMs === null || headline === 'TIME';
    if (!isOver) {
      hand.lift(vessel);
      return pause(CLEARED_MS);
    }
    const [next] = state.plan.tasks.filter((task) => task.id !== step.id && !isDone(state, task));
    if (next?.kind === 'draw' && step.step !== 'sum') return this.#putOn(next.on, next.scale);
    return this.#putOn(id, WIDE_SCALE);
  }

  /** Puts a vessel on a pan that was seen empty, and waits for the program's word on it. */
  async #putOn(vessel: string, scale: string): Promise<void> {
    const { world, hand } = this.#bench;
    const seq = this.#bench.state()?.seq;
    for (const standing of [...world.pan(scale).standing]) hand.lift(standing);
    await pause(CLEARED_MS);
    hand.put(world.vessel(vessel), world.pan(scale));
    const end = performance.now() + PUT_ON_MS;
    while (this.#bench.state()?.seq === seq && performance.now() < end) await pause(50);
  }
}
