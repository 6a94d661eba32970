/** What a scale is judged by when it is checked: its own data, else the published tables. */
import { type Mass, minus } from '../mass/mass.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import { type AccuracyClass, inferClass } from './accuracyClass.ts';
import { type CheckWeight, isGoodEnough } from './checkWeights.ts';
import { maintenanceTolerance, permissibleInService } from './permissible.ts';

/** What must be known of a scale. */
export interface CheckedScale {
  readonly capacity: Mass;
  readonly d: Mass;
  readonly accuracyClass?: AccuracyClass | undefined;
  readonly e?: Mass | undefined;
  readonly permissibleError?: Mass | undefined;
}

/** The tables that a scale without data of its own is judged by. */
export type Tables = 'oiml' | 'handbook-44';

export interface CheckLimits {
  /** Where the limits come from, a phrase. */
  readonly basis: string;
  /** How far the indication may be off at a load, either way. */
  at(load: Mass): Mass;
}

function grams(of: Mass): string {
  return `${printMass(of, { decimals: decimalsOf(of) })} g`;
}

/**
 * The limits for a scale in use. Its stated permissible error comes first; else the tables for its class, which is
 * inferred where the maker does not know it, and said to be.
 * @returns undefined where nothing is stated and no class fits the scale
 */
export function checkLimits(scale: CheckedScale, tables: Tables): CheckLimits | undefined {
  const { capacity, d, accuracyClass, permissibleError } = scale;
  if (permissibleError !== undefined) {
    return {
      basis: `the permissible error stated for this scale, ${grams(permissibleError)}`,
      at: () => permissibleError,
    };
  }
  const verification = accuracyClass === undefined ? inferClass(d, capacity) : { accuracyClass, e: scale.e ?? d };
  if (!verification) return undefined;
  const inferred = accuracyClass === undefined ? ', class inferred from its capacity and interval' : '';
  const what = `class ${verification.accuracyClass}, e = ${grams(verification.e)}${inferred}`;
  return tables === 'oiml'
    ? {
        basis: `the limits in service of OIML R 76-1 for ${what}`,
        at: (load) => permissibleInService(load, verification),
      }
    : {
        basis: `the maintenance tolerances of NIST Handbook 44, 2.20, for ${what}`,
        at: (load) => maintenanceTolerance(load, verification),
      };
}

/** Lightest load that tells much about a scale, as a share of its capacity (USP general chapter 41). */
const LEAST_SHARE = 0.05;

export interface ChosenWeights {
  /** From light to heavy. */
  readonly use: readonly CheckWeight[];
  readonly leave: readonly { readonly weight: CheckWeight; readonly why: string }[];
}

/**
 * The check weights that can judge a scale: not too heavy for it, good enough for its limits, and of 5 to 100 % of its
 * capacity; where none is heavy enough, the heaviest.
 */
export function chooseWeights(
  weights: readonly CheckWeight[],
  { capacity }: CheckedScale,
  limits: CheckLimits,
): ChosenWeights {
  const leave: { weight: CheckWeight; why: string }[] = [];
  const able: CheckWeight[] = [];
  for (const weight of weights) {
    if (weight.nominal > capacity) leave.push({ weight, why: 'it is heavier than the scale can carry' });
    else if (!isGoodEnough(weight, limits.at(weight.nominal))) {
      leave.push({ weight, why: 'its own error is more than a third of what the scale may be off' });
    } else able.push(weight);
  }
  able.sort((a, b) => minus(a.nominal, b.nominal));
  const telling = able.filter(({ nominal }) => nominal >= LEAST_SHARE * capacity);
  const use = telling.length > 0 ? telling : able.slice(-1);
  for (const weight of able) {
    if (!use.includes(weight)) leave.push({ weight, why: 'it is too light to tell much about this scale' });
  }
  return { use, leave };
}

/** The weight for the corners: nearest to a third of the capacity (OIML R 76-1, from memory). */
export function cornerWeight(weights: readonly CheckWeight[], { capacity }: CheckedScale): CheckWeight | undefined {
  const off = ({ nominal }: CheckWeight) => Math.abs(3 * nominal - capacity);
  return [...weights].sort((a, b) => off(a) - off(b))[0];
}
