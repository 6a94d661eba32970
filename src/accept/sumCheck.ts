/**
 * Does a vessel weigh what was put into it? The sum of its draws, each weighed for itself, against the whole vessel:
 * double entry, which finds what was skipped, doubled or put elsewhere.
 */
import { type Mass, mass, minus, plus, size } from '../mass/mass.ts';

export interface SumPart {
  readonly draw: string;
  readonly amount: Mass;
  /** Expanded, k = 2. */
  readonly uncertainty: Mass;
}

export interface SumInput {
  /** What it should weigh, vessel and all. */
  readonly expected: Mass;
  readonly found: Mass;
  /** How far off it may be by the uncertainty of all that went in. */
  readonly allowed: Mass;
  readonly inIt: readonly SumPart[];
  /** What has gone into other vessels. */
  readonly elsewhere: readonly SumPart[];
}

/** What the difference looks like: as much as one draw, or two, that is not in there, is in there twice, or came from elsewhere. */
export interface Suspect {
  readonly what: 'missing' | 'twice' | 'from-elsewhere';
  readonly draws: readonly string[];
}

export interface SumJudgement {
  /** `found - expected`. */
  readonly difference: Mass;
  readonly isRight: boolean;
  /** Best first; empty when it is right or nothing fits. */
  readonly suspects: readonly Suspect[];
}

/** Most suspects that are named: more help nobody. */
const MOST_SUSPECTS = 3;

/** Judges a vessel's sum. */
export function judgeSum({ expected, found, allowed, inIt, elsewhere }: SumInput): SumJudgement {
  const difference = minus(found, expected);
  const isRight = size(difference) <= allowed;
  if (isRight) return { difference, isRight, suspects: [] };
  const off = size(difference);
  const named = (what: Suspect['what'], parts: readonly SumPart[]) =>
    fitting(off, allowed, parts).map((draws) => ({ what, draws }));
  const suspects =
    difference < 0 ? named('missing', inIt) : [...named('twice', inIt), ...named('from-elsewhere', elsewhere)];
  return { difference, isRight, suspects: suspects.slice(0, MOST_SUSPECTS) };
}

/** Single draws that make up the difference, nearest first; where there is none, pairs of them. */
function fitting(off: Mass, allowed: Mass, parts: readonly SumPart[]): readonly (readonly string[])[] {
  const found: { readonly draws: readonly string[]; readonly by: number }[] = [];
  const look = (group: readonly SumPart[]) => {
    const amount = group.reduce((sum, part) => sum + part.amount, 0);
    const slack = allowed + Math.hypot(...group.map(({ uncertainty }) => uncertainty));
    const by = Math.abs(off - amount);
    if (amount > allowed && by <= slack) found.push({ draws: group.map(({ draw }) => draw), by });
  };
  for (const part of parts) look([part]);
  if (found.length === 0) {
    for (const [index, one] of parts.entries()) for (const other of parts.slice(index + 1)) look([one, other]);
  }
  return found.sort((a, b) => a.by - b.by).map(({ draws }) => draws);
}

/** What evaporates and spills on the way when one vessel is emptied into another: parts per thousand (common practice, no source). */
const ON_THE_WAY_PER_MILLE = 3;

/**
 * How far a vessel may be off the sum of its draws.
 * @param reading expanded uncertainty of the difference of two readings of the scale that weighs the whole
 * @param offPan expanded uncertainties of what came in while it stood on no pan
 * @param moved what was emptied into it from other vessels
 * @param least what the vessel recognition itself allows
 */
export function sumAllowance(reading: Mass, offPan: readonly Mass[], moved: Mass, least: Mass): Mass {
  const scatter = mass(Math.ceil(Math.hypot(reading, ...offPan)));
  const whole = plus(scatter, mass(Math.ceil((moved * ON_THE_WAY_PER_MILLE) / 1000)));
  return whole > least ? whole : least;
}
