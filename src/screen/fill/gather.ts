/** What has to be at hand before a batch. */
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import type { GatherLine } from '../view.ts';
import { scaleName, targetOn, vesselName } from './names.ts';

export function gatherList(plan: Plan): readonly GatherLine[] {
  const draws = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw');
  const scales = [...new Set(draws.map((draw) => draw.scale))];
  const vessels = [...new Set(draws.flatMap((draw) => [draw.vessel, draw.on]))];
  return [
    { heading: 'Scales, pans empty' },
    ...scales.map((id) => ({ name: scaleName(id) })),
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
