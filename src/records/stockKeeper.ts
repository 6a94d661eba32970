/** The log with its stock kept above zero: what a lot gave beyond its book is recorded beside the weight. */
import type { Fact, FactLog, Happened } from '../facts/fact.ts';
import type { Mass } from '../mass/mass.ts';
import { moveOf, movesOf } from '../stock/moves.ts';
import { withShortfalls } from '../stock/shortfalls.ts';
import { bookOf } from '../stock/stocked.ts';
import type { Workshop } from '../workshop/model.ts';
import type { BatchLog } from './batchLog.ts';

/** @param workshop as its file says: what its lots held at first */
export function keepStock(log: BatchLog, workshop: Workshop): FactLog {
  const left = (ingredient: string, lot: string): Mass => {
    const inFile = workshop.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot);
    return bookOf(
      log.stock((stock) => stock.lot(ingredient, lot)),
      inFile,
    );
  };
  return {
    async append(batch, by, happened) {
      const takes = happened.some(({ kind }) => kind === 'weighed' || kind === 'discarded');
      if (!takes) return log.append(batch, by, happened);
      const moving = happened.map((each) => ({ happened: each, move: moveIn(log, batch, each) }));
      return log.append(batch, by, withShortfalls(moving, left));
    },
  };
}

function moveIn(log: BatchLog, batch: string, happened: Happened): ReturnType<typeof moveOf> {
  const fact: Fact = { batch, seq: Number.MAX_SAFE_INTEGER, at: '', by: '', ...happened };
  if (happened.kind !== 'discarded') return moveOf(fact);
  return movesOf([...log.facts(batch), fact]).find(({ seq }) => seq === fact.seq);
}
