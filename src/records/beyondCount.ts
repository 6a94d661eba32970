/** Amounts that stock could not be counted with are refused before they are facts: a fact can't be changed any more. */
import type { Happened } from '../facts/fact.ts';
import { type LotStock, lotKey } from '../stock/lotStock.ts';
import { type Holding, moved, moveOf } from '../stock/moves.ts';
import { LogTrouble } from './logTrouble.ts';

/** What brings much into a lot at once; what a scale weighs out of it is small. */
const BRINGS = new Set<Happened['kind']>(['lot-received', 'stock-taken']);

/**
 * @param lot a lot as it stands; where it can't be looked at, as its table is broken, nothing is refused: facts come first
 * @throws LogTrouble where a lot would hold more than 2^53 micrograms (9 007 t)
 */
export function refuseBeyondCount(
  happened: readonly Happened[],
  lot: (ingredient: string, lot: string) => Pick<LotStock, 'holding'>,
): void {
  const holdings = new Map<string, Holding>();
  for (const each of happened) {
    const move = BRINGS.has(each.kind) ? moveOf({ batch: '', seq: 1, at: '', by: '', ...each }) : undefined;
    if (!move) continue;
    const key = lotKey(move.ingredient, move.lot);
    const before = holdings.get(key) ?? holdingNow(() => lot(move.ingredient, move.lot));
    if (!before) continue;
    try {
      holdings.set(key, moved(before, move));
    } catch (error) {
      if (error instanceof RangeError) throw tooMuch();
      throw error;
    }
  }
}

function holdingNow(look: () => Pick<LotStock, 'holding'>): Holding | undefined {
  try {
    return look().holding;
  } catch {
    return undefined;
  }
}

export function tooMuch(): LogTrouble {
  return new LogTrouble(
    'failed',
    'Not recorded: it would be more than 9,007 t of one lot, which is more than can be counted exactly. All facts recorded before are safe. Was an amount mistyped, or its unit? Enter it again.',
  );
}
