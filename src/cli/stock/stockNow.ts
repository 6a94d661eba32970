/** The workshop with its lots as they are now: its file, and what the log says has come and gone since. */
import { join } from 'node:path';
import { type BatchLog, openLogIfBegun } from '../../records/batchLog.ts';
import { handEdits } from '../../records/handEdits.ts';
import { openNeeds } from '../../records/openNeeds.ts';
import { NO_FACTS, type StockLook } from '../../records/stockLook.ts';
import type { Needed } from '../../stock/stillNeeded.ts';
import { stocked } from '../../stock/stocked.ts';
import type { Ingredient, Workshop } from '../../workshop/model.ts';
import { LOG_FILE } from '../folder.ts';

/** Looks at the stock that a workshop's log keeps; without a log nothing has come or gone. @throws LogTrouble */
export function lookAtStock<T>(folder: string, look: (stock: StockLook) => T): T {
  const log = openLogIfBegun(join(folder, LOG_FILE));
  if (!log) return look(NO_FACTS);
  try {
    return log.stock(look);
  } finally {
    log.close();
  }
}

/** What was edited by hand of lots that batches had used: by ingredient, a sentence each. @throws LogTrouble */
export function editsNow(folder: string, ingredients: readonly Ingredient[]): readonly (readonly [string, string])[] {
  const log = openLogIfBegun(join(folder, LOG_FILE));
  if (!log) return [];
  try {
    return ingredients.flatMap((each) => handEdits(log, each).map((say) => [each.id, say] as const));
  } finally {
    log.close();
  }
}

/** What the open batches of a workshop are still to take out of their lots. @throws LogTrouble */
export function neededNow(folder: string): readonly Needed[] {
  const log = openLogIfBegun(join(folder, LOG_FILE));
  if (!log) return [];
  try {
    return openNeeds(log);
  } finally {
    log.close();
  }
}

/**
 * @param workshop as its file says
 * @param only ingredients that matter; all when left out
 */
export function stockedNow(folder: string, workshop: Workshop, only?: ReadonlySet<string>): Workshop {
  return lookAtStock(folder, (stock) => stocked(workshop, stock, only));
}

/** The workshop as if a batch had not taken anything: what that batch began with. */
export function stockedWithout(log: BatchLog, batch: string, workshop: Workshop): Workshop {
  return log.stock((stock) =>
    stocked(workshop, {
      // Also lots that it has used up.
      there: (ingredient) =>
        stock
          .all()
          .filter((each) => each.ingredient === ingredient)
          .map(({ lot }) => stock.without(batch, ingredient, lot)),
      lot: (ingredient, lot) => stock.without(batch, ingredient, lot),
    }),
  );
}
