/** What has to be at hand before a batch. */
import type { BatchState, ScaleState } from '../../facts/batchState.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import type { GatherLine } from '../view.ts';
import { scaleName, targetOn, vesselName } from './names.ts';

/** What the last check says of a scale, in at most twelve columns. */
function checkNote(state: ScaleState | undefined): string {
  if (!state?.today) return 'not checked';
  return state.passed ? 'checked' : 'check failed';
}

/** @param checked what is known of the scales; a check that is missing or failed is told here, and forbids nothing */
export function gatherList(plan: Plan, checked: BatchState['scales']): readonly GatherLine[] {
  const draws = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw');
  const scales = [...new Set(draws.map((draw) => draw.scale))];
  const vessels = [...new Set(draws.flatMap((draw) => [draw.vessel, draw.on]))];
  return [
    { heading: 'Scales, pans empty; checked today?' },
    ...scales.map((id) => ({ name: scaleName(id), note: checkNote(checked[id]) })),
    { heading: 'Vessels, clean and dry' },
    ...vessels.map((id) => ({ name: vesselName(plan, id) })),
    ...plan.phases.flatMap((phase) => [
      { heading: `Phase ${phase.id} ${phase.name}` },
      ...draws
        .filter((draw) => draw.phase === phase.id)
        .map((draw) => ({ name: draw.name, note: draw.lot, amount: targetOn(plan, draw.scale, draw.target) })),
    ]),
  ];
}
