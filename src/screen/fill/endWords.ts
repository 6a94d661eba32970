/** What is said when a batch, or a part of another bench's, has ended or is to be ended unfinished. */
import type { BatchState } from '../../facts/batchState.ts';
import { isOut } from '../../facts/handOver.ts';
import { type Words, words } from './wording.ts';

export function endItWords({ partOf, handOvers }: BatchState): Words {
  if (partOf) {
    return words('hold', 'END IT?', `Give up this part of ${partOf.role}'s batch, for good? Its record stays.`, [
      `Nothing of it may get in there then. ${partOf.role} can take it back, and weigh it.`,
    ]);
  }
  const out = handOvers.filter(isOut).map(({ phases, to }) => `Phase ${phases.join(' and ')} is at ${to}: tell them.`);
  return words('hold', 'END IT?', 'End this batch unfinished, for good? Its record stays.', out);
}

export function endedWords({ partOf, ended, plan }: BatchState): Words {
  if (ended === 'finished') {
    return partOf
      ? words('done', 'DONE', `This part is weighed. Bring its vessel to ${partOf.role}.`, [
          'That bench takes it over by itself, once the shared history has it.',
        ])
      : words('done', 'DONE', 'The batch is weighed and written down.', [
          'When you close it, it says where its record is.',
        ]);
  }
  const text = 'The batch was ended unfinished. What was weighed stays in its record.';
  if (!partOf) return words('done', 'ENDED', text);
  const phases = [...new Set(plan.tasks.map(({ phase }) => phase))].join(' ');
  return words('done', 'ENDED', `This part was given up. Mark or empty its vessel: not for ${partOf.role}.`, [
    `At ${partOf.role}: bismar hand-over ${phases} --back. What was weighed here stays in the record.`,
  ]);
}
