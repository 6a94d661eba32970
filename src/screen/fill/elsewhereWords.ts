/** What is said while another bench weighs phases that all the rest needs. */
import { isElsewhere, isOut } from '../../facts/handOver.ts';
import { isDone } from '../../facts/isDone.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { type Words, words } from './wording.ts';

export function elsewhereWords({ context: { batch } }: WeighingSnapshot): Words {
  const out = batch.handOvers.filter(isOut);
  if (out.length === 0) {
    const phases = batch.plan.tasks.flatMap((task) =>
      isElsewhere(batch, task) && !isDone(batch, task) ? [task.phase] : [],
    );
    const which = [...new Set(phases)].join(' and ');
    const to = batch.handOvers.findLast(({ phases: of }) => of.some((phase) => phases.includes(phase)))?.to ?? '';
    return words('place', 'HAND OVER', `Phase ${which} has to be weighed again at ${to}.`, [
      `Leave with q, and say: bismar hand-over ${[...new Set(phases)].join(' ')} --to ${to}`,
    ]);
  }
  const say = out.map(({ phases, to }) => `Phase ${phases.join(' and ')} is at ${to}.`).join(' ');
  return words('place', 'WAIT', `${say} All that is left here needs it.`, [
    'It goes on by itself when that is weighed and the shared history has it.',
  ]);
}
