/**
 * What a workshop file says that a lot held at first, against what it said when the lot was first used: a figure that was
 * edited since counts twice, as what batches took is taken off it all the same.
 */
import type { Fact } from '../facts/fact.ts';
import type { Mass } from '../mass/mass.ts';
import { minus } from '../mass/mass.ts';
import { grams } from '../stock/lotLine.ts';
import { holdingOf } from '../stock/moves.ts';
import type { Ingredient } from '../workshop/model.ts';
import type { BatchLog } from './batchLog.ts';

/**
 * Sentences for lots whose figure in the file was changed by hand after a batch used them. A jar weighed since has put
 * the book right: then only batches after that are looked at.
 * @param lots as the workshop file has them
 */
export function handEdits(log: Pick<BatchLog, 'facts' | 'stock'>, { id, name, lots }: Ingredient): readonly string[] {
  return lots.flatMap(({ id: lot, onHand }) => {
    const began = firstUse(log, id, lot);
    if (began === undefined || began.said === onHand) return [];
    return [
      `${name}, lot ${lot}: "on hand" in workshop.yaml is ${grams(onHand)}; when batch ${began.batch} was begun (${began.at.slice(0, 10)}) it was ${grams(began.said)}. What batches took since is taken off either way, so an edited figure counts twice. Put ${grams(began.said)} back; what the jar really holds is for bismar stock take.`,
    ];
  });
}

/** What the file said when the lot was first used since its jar was last weighed; undefined where that is not known. */
function firstUse(log: Pick<BatchLog, 'facts' | 'stock'>, ingredient: string, lot: string) {
  const { moves, received } = log.stock((stock) => ({
    moves: stock.moves(ingredient, lot),
    received: stock.lot(ingredient, lot).received,
  }));
  if (received !== null) return undefined; // what it holds is told by facts alone
  const weighed = moves.findLast(({ used }) => used === 0)?.seq ?? 0;
  const batch = moves.find(({ seq, used }) => seq > weighed && used > 0)?.batch;
  const start = batch === undefined ? undefined : startOf(log.facts(batch));
  if (batch === undefined || start === undefined || start.seq < weighed) return undefined;
  const draw = start.plan.tasks.find(
    (task) => task.kind === 'draw' && task.ingredient === ingredient && task.lot === lot,
  );
  const before = holdingOf(moves.filter(({ seq }) => seq < start.seq));
  // An empty jar may have been more than empty by the book.
  if (draw?.kind !== 'draw' || draw.lotOnHand === 0 || !before.counted) return undefined;
  return { batch, at: start.at, said: minus(draw.lotOnHand, before.balance) as Mass };
}

function startOf([first]: readonly Fact[]): (Fact & { kind: 'batch-started' }) | undefined {
  return first?.kind === 'batch-started' ? first : undefined;
}
