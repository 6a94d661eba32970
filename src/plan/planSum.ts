/** After the last draw of a phase its vessel is weighed as a whole: double entry against what was skipped or doubled. */
import type { Phase } from '../formula/model.ts';
import type { Vessel } from '../workshop/model.ts';
import { contentOf } from './contents.ts';
import { rememberVessel, type Walk } from './walk.ts';

/**
 * Plans the sum check of a phase, unless the formula has one of its own, there is nothing to add up, or no scale with
 * a port can carry the vessel with all that is in it.
 */
export function planSum(walk: Walk, phase: Phase, vessel: Vessel): void {
  const own = walk.tasks.filter((task) => task.kind === 'draw' && task.phase === phase.id && task.vessel === vessel.id);
  const isAsked = phase.work.some((item) => item.kind === 'step' && item.step === 'sum');
  const gross = vessel.tare + contentOf(walk.contents, vessel.id).most;
  const canCarry = Object.values(walk.scales).some(({ keyed, capacity }) => !keyed && gross <= capacity);
  if (isAsked || own.length < 2 || !canCarry) return;
  rememberVessel(walk, vessel);
  walk.tasks.push({
    kind: 'step',
    id: `${phase.id}/sum`,
    phase: phase.id,
    step: 'sum',
    say: `Weigh ${vessel.name} as a whole.`,
    vessel: vessel.id,
    into: null,
    forMs: null,
    times: null,
    until: null,
    cautions: [],
  });
}
