/** Work between draws at the made-up bench, without a key: what the hands do, and how the pans hear of it. */
import { mass } from '../../mass/mass.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import { contentOf } from '../../simulate/holder.ts';
import { stepNow } from '../../weighing/look.ts';
import type { Station } from '../../weighing/station.ts';
import { drawAfterStep, isInHand, movesContent, stepVessel, tapScale } from '../../weighing/stepPans.ts';
import type { MadeUpBench } from './madeUpBench.ts';

export interface StepWorkInput {
  readonly station: Station;
  readonly bench: MadeUpBench;
  readonly pause: (ms: number) => Promise<void>;
  /** Waits until a scale's display stands still. */
  readonly rest: (scale: string) => Promise<void>;
  /** Takes everything off, and puts a draw's vessel on. */
  readonly putOnAnew: (draw: PlannedDraw) => Promise<void>;
}

/** What sticks: about one percent; a rinse takes most of that (common practice, no source). */
const STICKS = { combine: 0.01, rinse: 0.2 };

/** A maker's way through steps: each is emptied or wiped out once. Call what it returns until the step is done. */
export function createStepWork({ station, bench, pause, rest, putOnAnew }: StepWorkInput): () => Promise<void> {
  const { world, hand, instruments } = bench;
  let emptied = '';

  return async () => {
    await pause(400);
    const snapshot = station.snapshot();
    const scene = snapshot.context;
    const step = stepNow(scene);
    const id = step && stepVessel(scene);
    const scale = tapScale(scene);
    if (!step || id === undefined || scale === undefined) return pause(100);
    const vessel = world.vessel(id);

    /** The vessel comes onto the wide scale, after its pan was seen empty. */
    const putBack = async (): Promise<void> => {
      const pan = world.pan(scale);
      for (const other of [...pan.standing]) hand.lift(other);
      await pause(1200);
      await rest(scale);
      hand.put(vessel, pan);
      await rest(scale);
      await pause(2500);
    };

    if (movesContent(step)) {
      hand.lift(vessel);
      await pause(1500);
      const share = STICKS[step.step === 'rinse' ? 'rinse' : 'combine'];
      const residue = mass(Math.round(contentOf(vessel) * share));
      if (emptied !== step.id) hand.tip(vessel, world.vessel(step.into), residue);
      emptied = step.id;
      return putBack();
    }
    if (step.step === 'sum') return putBack();
    if (step.forMs !== null && !snapshot.matches({ step: 'rung' })) {
      if (!isInHand(scene)) hand.lift(vessel);
      return pause(500);
    }
    const next = drawAfterStep(scene);
    if (!next) return putBack();
    instruments.get(next.scale)?.pressOn();
    await putOnAnew(next);
    await pause(2500);
  };
}
