/** What has to be at hand before a batch. */
import type { BatchState, ScaleState } from '../../facts/batchState.ts';
import { isElsewhere, outBy } from '../../facts/handOver.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import type { GatherLine } from '../view.ts';
import { scaleName, targetOn, vesselName } from './names.ts';

/** What the last check says of a scale, in at most twelve columns. */
function checkNote(state: ScaleState | undefined): string {
  if (!state?.today) return 'not checked';
  return state.passed ? 'checked' : 'check failed';
}

/** Of what is weighed here; a check of a scale that is missing or failed is told, and forbids nothing. */
export function gatherList(batch: BatchState): readonly GatherLine[] {
  const { plan, scales: checked } = batch;
  const draws = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw' && !isElsewhere(batch, task));
  const scales = [...new Set(draws.map((draw) => draw.scale))];
  const vessels = [...new Set(draws.flatMap((draw) => [draw.vessel, draw.on]))];
  return [
    { heading: 'Scales, pans empty; checked today?' },
    ...scales.map((id) => ({ name: scaleName(id), note: checkNote(checked[id]) })),
    { heading: 'Vessels, clean and dry' },
    ...vessels.map((id) => ({ name: vesselName(plan, id) })),
    ...plan.phases.flatMap((phase) => [
      { heading: phaseHeading(batch, phase) },
      ...draws
        .filter((draw) => draw.phase === phase.id)
        .map((draw) => ({ name: draw.name, note: draw.lot, amount: targetOn(plan, draw.scale, draw.target) })),
    ]),
  ];
}

function phaseHeading(batch: BatchState, { id, name }: Plan['phases'][number]): string {
  const out = outBy(batch, id);
  return out ? `Phase ${id} ${name}: at ${out.to}` : `Phase ${id} ${name}`;
}
