/** The benches of a batch record: which phases were weighed elsewhere, and what a part belongs to. */
import type { BatchState } from '../../facts/batchState.ts';
import type { Fact } from '../../facts/fact.ts';
import type { Seal } from '../batchLog.ts';

/** Phases that were handed to another bench. */
export interface OtherBench {
  readonly number: number;
  readonly phases: readonly string[];
  /** Its role in the shared history. */
  readonly bench: string;
  readonly handedOver: string;
  /** `at the other bench`: not brought in yet. `weighed again here`: what it had weighed was given up later. */
  readonly end: 'at the other bench' | 'brought in' | 'taken back' | 'weighed again here';
  /** Why they were taken back although nothing proved it to be safe; null otherwise. */
  readonly reason: string | null;
  /** Its batch there and the last fact of it; null where nothing was brought in. */
  readonly part: { readonly batch: string; readonly seal: Seal; readonly at: string } | null;
}

/** What a part belongs to. */
export interface WholeOf {
  readonly bench: string;
  readonly batch: string;
  readonly number: number;
}

export function benchesOf(
  { handOvers, partOf }: BatchState,
  facts: readonly Fact[],
): { readonly otherBenches: readonly OtherBench[]; readonly partOf: WholeOf | null } {
  const otherBenches = handOvers.map(({ number, phases, to, stands }): OtherBench => {
    const begun = facts.find((fact) => fact.kind === 'handed-over' && fact.number === number);
    const back = facts.find((fact) => fact.kind === 'called-back' && fact.number === number);
    const brought = facts.find((fact) => fact.kind === 'brought-in' && fact.number === number);
    const isIn = brought?.kind === 'brought-in';
    const end =
      stands === 'in'
        ? 'brought in'
        : stands !== 'back'
          ? 'at the other bench'
          : isIn
            ? 'weighed again here'
            : 'taken back';
    return {
      number,
      phases,
      bench: to,
      handedOver: begun?.at ?? '',
      end,
      reason: back?.kind === 'called-back' ? back.reason : null,
      part: isIn ? { batch: brought.part, seal: brought.seal, at: brought.at } : null,
    };
  });
  return { otherBenches, partOf: partOf && { bench: partOf.role, batch: partOf.of, number: partOf.number } };
}

/** Each in a sentence. The text of names in it is not cleaned. */
export function benchSentences({
  otherBenches,
  partOf,
  status,
}: {
  readonly otherBenches: readonly OtherBench[];
  readonly partOf: WholeOf | null;
  readonly status: 'open' | 'finished' | 'abandoned';
}): string[] {
  const whole = partOf ? [`This is part of batch ${partOf.batch} of ${partOf.bench}${whereItGoes(status)}.`] : [];
  return [...whole, ...otherBenches.map(otherBenchSentence)];
}

/** This bench's log alone does not know whether the other one has brought it in. */
function whereItGoes(status: 'open' | 'finished' | 'abandoned'): string {
  return status === 'abandoned'
    ? '. It was given up here, and nothing of it belongs in there'
    : ', whose record has what was weighed here once that bench has brought it in';
}

function otherBenchSentence({ phases, bench, end, reason, part }: OtherBench): string {
  const which = `${phases.length > 1 ? 'Phases' : 'Phase'} ${phases.join(' and ')}`;
  if (end === 'at the other bench') return `${which}: handed to ${bench}, and not brought in yet.`;
  if (end === 'taken back')
    return `${which}: handed to ${bench} and taken back${reason === null ? ', nothing that was weighed there is in this batch' : ` (${reason})`}.`;
  const from = part
    ? `, as batch ${part.batch} there (up to its fact ${part.seal.seq}, ${part.seal.hash.slice(0, 16)})`
    : '';
  const again = end === 'weighed again here' ? '; that was given up, and weighed again here' : '';
  return `${which}: weighed at ${bench}${from}; its record tells what was taken back there${again}.`;
}
