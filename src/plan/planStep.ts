/** Plans one step between draws, and what it moves from vessel to vessel. */
import type { FormulaStep, Phase } from '../formula/model.ts';
import { mass } from '../mass/mass.ts';
import { contentOf } from './contents.ts';
import { nearlyFull } from './fullness.ts';
import { grams } from './inWords.ts';
import type { PlannedStep } from './model.ts';
import { allCombined } from './several.ts';
import { rememberVessel, type Walk, watchFilling } from './walk.ts';

/** Whether no scale can carry a vessel with what is in it; then it is never asked for on the pan, and that is noted. */
function isTooHeavy({ workshop, contents, notes }: Walk, id: string): boolean {
  const vessel = workshop.vessels.get(id);
  if (!vessel) return false;
  const gross = mass(vessel.tare + contentOf(contents, id).most);
  if ([...workshop.scales.values()].some(({ capacity }) => gross <= capacity)) return false;
  notes.push(
    `${vessel.name} would weigh up to ${grams(gross, 1)}, more than any scale takes: it is not weighed as a whole.`,
  );
  return true;
}

export function planStep(walk: Walk, phase: Phase, step: FormulaStep, id: string): void {
  if (step.step === 'combine' && step.vessel !== undefined && step.into !== undefined) {
    walk.contents = allCombined(walk.contents, walk.workshop.vessels, step.vessel, step.into);
    watchFilling(walk, step.into, id);
    const into = walk.workshop.vessels.get(step.into);
    const full = into && nearlyFull(into.name, contentOf(walk.contents, into.id).ml, into.usableMl);
    if (full) walk.notes.push(full);
  }
  if (step.step === 'sum' && isTooHeavy(walk, step.vessel ?? phase.vessel)) return;
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
    ...(step.measure ? { measure: step.measure } : {}),
    cautions: step.cautions,
  };
  walk.tasks.push(planned);
}
