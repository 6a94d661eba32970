/** Batch sizes that have to be worked out: as much as the jars allow, as much as a vessel holds. */
import type { Formula } from '../formula/model.ts';
import { exactGrams } from '../mass/text.ts';
import { type BatchSize, sizeBatch } from '../plan/batchSize.ts';
import { fillVessel, largestFromStock } from '../plan/largestBatch.ts';
import { makePlan, refusedAt } from '../plan/plan.ts';
import { printRefusals } from '../plan/printPlan.ts';
import type { Workshop } from '../workshop/model.ts';
import { nameHint } from '../workshop/nearest.ts';
import { Ending, EXIT } from './exit.ts';

interface Asked {
  readonly most?: boolean | undefined;
  readonly fill?: string | undefined;
}

interface For {
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly today: string;
}

function inWords(size: NonNullable<BatchSize>): string {
  if ('mass' in size) return `${exactGrams(size.mass)} g`;
  return size.bars === 1 ? '1 bar' : `${size.bars} bars`;
}

/** @returns the size, and a sentence on how it came about where it was worked out */
export function sizeAsked(
  asked: Asked,
  typed: BatchSize,
  { workshop, formula, today }: For,
): { size: BatchSize; note?: string } {
  if (asked.fill !== undefined) {
    const found = fillVessel(workshop, formula, asked.fill);
    if (!found.ok) {
      const near = nameHint(asked.fill, workshop.vessels.keys());
      const more = workshop.vessels.has(asked.fill) || near === undefined ? '' : ` (${near})`;
      throw new Ending(EXIT.wrongUse, `${found.why}${more}`);
    }
    const { name = asked.fill, count = 1 } = workshop.vessels.get(asked.fill) ?? {};
    const one = count === 1 ? name : `one ${name} of the ${count}`;
    const when = found.inIt ? 'at its fullest' : 'when all of the batch is put into it';
    return {
      size: found.size,
      note: `${inWords(found.size)}: that fills ${one} ${when}, by loose volumes and each draw at the top of its band.`,
    };
  }
  if (!asked.most) return { size: typed };
  const refused = (size: BatchSize) => {
    const sized = sizeBatch(formula, size);
    return 'why' in sized ? [] : refusedAt(workshop, formula, sized.mass, today);
  };
  const found = largestFromStock(workshop, formula, today, (size) => refused(size).length === 0);
  if (found === undefined) {
    const result = makePlan(workshop, formula, undefined, today);
    const why = result.ok ? '' : `\n${printRefusals(formula, result.refusals, process.stdout.columns)}`;
    throw new Ending(EXIT.failed, `No batch can be had from what is in stock.${why}`);
  }
  const { size, next } = found;
  const [limit] = refused(next);
  const more = limit === undefined ? '' : ` The next larger one can't be had: ${limit.why}`;
  return { size, note: `${inWords(size)}: the largest batch that the jars, scales and vessels allow.${more}` };
}
