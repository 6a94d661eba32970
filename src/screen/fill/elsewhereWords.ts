/** What is said of the other benches of a batch: while all the rest waits for them, and where nothing will come of it. */
import type { HandOver } from '../../facts/batchState.ts';
import { isElsewhere, isOut } from '../../facts/handOver.ts';
import { isDone } from '../../facts/isDone.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { type Words, words } from './wording.ts';

/** How other benches stand with a batch, as far as the shared history knows. */
export interface Others {
  /** How far each is, a line each. */
  readonly lines: readonly string[];
  /** Of a part: it can't get into its batch any more, and why. */
  readonly gone?: 'ended' | 'taken-back' | undefined;
  /** Handed over, and nobody weighs it: it has to be taken back. */
  readonly stuck?: readonly Pick<HandOver, 'phases' | 'to'>[] | undefined;
}

/** Where what another bench did or left undone is all that matters now; undefined: the chart's own words hold. */
export function othersWords(snapshot: WeighingSnapshot, { gone, stuck = [] }: Others): Words | undefined {
  if (gone !== undefined) return goneWords(snapshot, gone);
  return snapshot.matches('elsewhere') && stuck.length > 0 ? stuckWords(stuck) : undefined;
}

function goneWords(snapshot: WeighingSnapshot, gone: 'ended' | 'taken-back'): Words | undefined {
  const { partOf, ended } = snapshot.context.batch;
  if (!partOf || snapshot.context.justUndone) return undefined;
  const { role } = partOf;
  const why = gone === 'ended' ? `${role} has ended the batch` : `${role} has taken this part back`;
  if (snapshot.matches('paused')) {
    return words('hold', 'POUR NO MORE', `${why}: nothing weighed here gets into it. End this part with e.`, [
      `Mark or empty its vessel: not for ${role}. Enter weighs on all the same.`,
    ]);
  }
  if (snapshot.matches('abandoning')) {
    return words('hold', 'END IT?', `${why}. End this part, for good? Its record stays.`, [
      `Mark or empty its vessel: not for ${role}.`,
    ]);
  }
  if (!snapshot.matches('ended')) return undefined;
  return words('done', ended === 'finished' ? 'DONE' : 'ENDED', `${why}. Mark or empty the vessel: not for ${role}.`, [
    'What was weighed here stays in the record.',
  ]);
}

function stuckWords(stuck: NonNullable<Others['stuck']>): Words {
  const say = stuck.map(({ phases, to }) => `Phase ${phases.join(' and ')} is not weighed at ${to}.`).join(' ');
  const phases = stuck.map((each) => `bismar hand-over ${each.phases.join(' ')} --back`);
  return words('hold', 'TAKE BACK', `${say} It does not go on by itself.`, [
    `Leave with q, and say: ${phases.join('; ')}`,
  ]);
}

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
