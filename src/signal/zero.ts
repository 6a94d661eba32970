/**
 * Is the pan empty, loaded, or can't that be told? The rule for the empty pan's zero, in one place.
 *
 * A scale's own 0.0 proves nothing: it may have zeroed itself under a load (switched off and on, or a key was brushed).
 * The empty pan is the reference; what stands on it is told by its weight (see weighing/look.ts, `standing`).
 */
import { lesser, type Mass, minus, size, ZERO } from '../mass/mass.ts';

export interface BeforeGap {
  readonly gross: Mass;
  /** The pan was at rest, and its zero was known. */
  readonly proved: boolean;
}

export interface ZeroKnowledge {
  /** The last reading of the empty pan. */
  readonly zero: Mass;
  /** Whether it is still to be trusted. */
  readonly zeroKnown: boolean;
  /** What was shown before the readings stopped, until the zero is seen again or a load comes to rest; else undefined. */
  readonly beforeGap: BeforeGap | undefined;
  /** Whether the last level was the empty pan: then what comes on is a load, whatever the display makes of it. */
  readonly wasEmpty: boolean;
}

/**
 * - `empty`: the pan is empty, and its reading is the zero from now on;
 * - `loaded`: something stands on it, and the zero is known;
 * - `doubtful`: something may stand on it, but the zero has to be proved first.
 */
export type Meaning = 'empty' | 'loaded' | 'doubtful';

/** The pan counts as empty within so many intervals of its zero. No vessel is that light. */
const EMPTY_WITHIN_D = 10;
/** After silence a level within so many intervals of the old one is the old one. */
const SAME_WITHIN_D = 2;
/** A scale that has just zeroed itself shows zero within so many intervals. */
const OWN_ZERO_WITHIN_D = 1;

/** What it means that the pan came to rest at `gross`. @param d the scale's interval */
export function meaningOf(gross: Mass, known: ZeroKnowledge, d: Mass): Meaning {
  const near = (other: Mass, intervals: number) => size(minus(gross, other)) <= intervals * d;
  const { zero, beforeGap } = known;
  const ownZero = near(ZERO, OWN_ZERO_WITHIN_D) && !near(zero, EMPTY_WITHIN_D);
  // A scale that zeroed itself under the load shows zero: that alone can not be "back as it was".
  const backAsItWas = beforeGap?.proved === true && near(beforeGap.gross, SAME_WITHIN_D) && !ownZero;

  if (known.zeroKnown || backAsItWas) {
    if (near(zero, EMPTY_WITHIN_D)) return 'empty';
    // Less than the empty pan: the scale took its zero with a load on, and that load is off now.
    if (gross < zero - EMPTY_WITHIN_D * d) return 'empty';
    // The scale's own zero, which is not the empty pan's: it may have zeroed itself under what stands there.
    return ownZero && !known.wasEmpty ? 'doubtful' : 'loaded';
  }
  if (gross < lesser(zero, ZERO) - EMPTY_WITHIN_D * d) return 'empty';
  // Zero where a load stood before the gap: lifted off, or zeroed under it. Otherwise a zero is an empty pan.
  const stoodLoaded = beforeGap !== undefined && size(minus(beforeGap.gross, zero)) > EMPTY_WITHIN_D * d;
  return near(ZERO, EMPTY_WITHIN_D) && !stoodLoaded ? 'empty' : 'doubtful';
}

/** Whether a doubtful level is no more than the scale's own zero, so that the doubt outlives a bump of the table. */
export function isOwnZero(gross: Mass, d: Mass): boolean {
  return size(gross) <= EMPTY_WITHIN_D * d;
}
