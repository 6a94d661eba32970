/** Plans one step between draws, and what it moves from vessel to vessel. */
import type { FormulaStep, Phase } from '../formula/model.ts';
import { combined } from './contents.ts';
import type { PlannedStep } from './model.ts';
import { rememberVessel, type Walk, watchFilling } from './walk.ts';

export function planStep(walk: Walk, phase: Phase, step: FormulaStep, id: string): void {
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
