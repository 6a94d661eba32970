/** What earlier pours of the workshop left in its log: how its scales answer, and how its ingredients run on. */
import { MOST_POURS, type PourSeen } from '../signal/afterRun.ts';
import { MOST_STEPS } from '../signal/lag.ts';
import type { BatchLog } from './batchLog.ts';

/** Only so many of the log's last facts are looked at, some hundred batches: the log grows for ever, the look does not. */
export const LOOK_BACK_FACTS = 5000;

export interface EarlierPours {
  /** By scale: time constants of its answer, milliseconds, oldest first. */
  readonly lags: Readonly<Record<string, readonly number[]>>;
  /** By ingredient, oldest first. */
  readonly pours: Readonly<Record<string, readonly PourSeen[]>>;
}

/** What can be learnt for: the scales and ingredients of a plan. */
interface Wanted {
  readonly scales: readonly string[];
  readonly ingredients: readonly string[];
}

/**
 * Each list at most as long as it is learnt from. What is enough for what is wanted ends the look; without that, all of
 * the last facts are looked at.
 * @throws LogTrouble
 */
export function earlierPours(log: Pick<BatchLog, 'latest'>, within = LOOK_BACK_FACTS, wanted?: Wanted): EarlierPours {
  const lags = new Map<string, number[]>();
  const pours = new Map<string, PourSeen[]>();
  const isEnough = ({ scales, ingredients }: Wanted) =>
    scales.every((scale) => lags.get(scale)?.length === MOST_STEPS) &&
    ingredients.every((ingredient) => pours.get(ingredient)?.length === MOST_POURS);
  for (const fact of log.latest('weighed', within)) {
    if (fact.kind !== 'weighed' || !fact.pour) continue;
    const { lagMs, stop } = fact.pour;
    if (lagMs !== null) putBefore(lags, fact.scale, lagMs, MOST_STEPS);
    if (stop !== null) putBefore(pours, fact.ingredient, stop, MOST_POURS);
    if (wanted && isEnough(wanted)) break;
  }
  return { lags: Object.fromEntries(lags), pours: Object.fromEntries(pours) };
}

function putBefore<T>(to: Map<string, T[]>, key: string, value: T, most: number): void {
  const known = to.get(key) ?? [];
  if (known.length < most) to.set(key, [value, ...known]);
}
