/** Lists of answers behind a key: the maker opens one, and it closes by itself when it is out of date. */
import type { Offer } from '../../rescue/model.ts';
import { drawNow, netNow } from '../../weighing/look.ts';
import { rescueToRead } from '../../weighing/rescueNow.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';

export type Page =
  /** Why a weight outside its band is kept. */
  | 'reasons'
  /** To which sizes the batch could grow. */
  | 'sizes'
  /** What one of them takes, and the yes to it. */
  | { readonly offer: Offer };

/** The page, as long as what stands on it holds. */
export function stillOpen(snapshot: WeighingSnapshot, page: Page | undefined): Page | undefined {
  if (page === undefined) return undefined;
  // A number that trembles closes nothing: the reason counts once the pan is at rest again.
  if (page === 'reasons') return isToKeep(snapshot) ? page : undefined;
  if (!snapshot.matches('hold')) return undefined;
  const offers = rescueToRead(snapshot.context)?.offers ?? [];
  if (page === 'sizes') return offers.length > 0 ? page : undefined;
  return offers.includes(page.offer) ? page : undefined;
}

/** Whether what is there could be kept, for a reason. */
function isToKeep(snapshot: WeighingSnapshot): boolean {
  if (
    [{ tipping: 'clinging' }, { summing: 'off' }, { jar: 'off' }].some((state) =>
      snapshot.matches(state as { jar: 'off' }),
    )
  ) {
    return true;
  }
  const held = snapshot.matches('hold') || snapshot.matches('short');
  return held && drawNow(snapshot.context)?.over !== 'never';
}

/** The same, and it is at rest: it can be kept now. */
export function mayKeep(snapshot: WeighingSnapshot): boolean {
  const isDraw = snapshot.matches('hold') || snapshot.matches('short');
  return isToKeep(snapshot) && (!isDraw || netNow(snapshot.context) !== null);
}
