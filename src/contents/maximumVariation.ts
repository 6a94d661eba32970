/**
 * Packages labelled by weight in the United States: how a lot is tested.
 *
 * Source: NIST Handbook 133, Checking the Net Contents of Packaged Goods: table 2-1 (category A sampling plans), table
 * 2-5 (maximum allowable variations), 2.3 (evaluating results); both tables from memory, but for the row of 113 g, which
 * stands in 2.2. The shipment's average must not be below the label: 16 CFR 500.25(c), read in public copies of it.
 */
import { type Mass, mass } from '../mass/mass.ts';
import { MICROGRAMS_IN, toMicrograms } from '../mass/units.ts';
import { spreadOf } from '../stats/spread.ts';

/** What the label is in: each has its own column. */
export type LabelUnit = 'g' | 'oz';

/** Upper ends in ounces and grams ("to and including"), allowed in thousandths of a pound and in tenths of a gram. */
const VARIATIONS = [
  { oz: 1.92, g: 54, lb: 8, allowed: 36 },
  { oz: 2.88, g: 81, lb: 12, allowed: 54 },
  { oz: 4.16, g: 117, lb: 16, allowed: 72 },
  { oz: 5.44, g: 154, lb: 20, allowed: 90 },
  { oz: 7.36, g: 208, lb: 24, allowed: 108 },
  { oz: 9.28, g: 263, lb: 28, allowed: 127 },
  { oz: 11.2, g: 317, lb: 32, allowed: 145 },
  { oz: 13.44, g: 381, lb: 36, allowed: 163 },
  { oz: 15.04, g: 426, lb: 40, allowed: 181 },
  { oz: 17.28, g: 489, lb: 44, allowed: 199 },
  { oz: 20.16, g: 571, lb: 48, allowed: 217 },
  { oz: 22.4, g: 635, lb: 52, allowed: 235 },
  { oz: 24.64, g: 698, lb: 56, allowed: 254 },
  { oz: 27.2, g: 771, lb: 60, allowed: 272 },
  { oz: 30.08, g: 852, lb: 64, allowed: 290 },
  { oz: 34.24, g: 970, lb: 70, allowed: 317 },
  { oz: 39.68, g: 1120, lb: 78, allowed: 353 },
] as const;

/** Up to these the allowed variation is a tenth of the label. */
const TENTH_UP_TO = { oz: 1.28, g: 36 } as const;

/**
 * The maximum allowable variation of a package below its label.
 * @returns undefined for 0 and above 1.12 kg or 2.48 lb, where our table ends
 */
export function maximumVariation(label: Mass, unit: LabelUnit): Mass | undefined {
  if (label <= 0) return undefined;
  if (label <= upTo(TENTH_UP_TO[unit], unit)) return mass(Math.floor(label / 10));
  const row = VARIATIONS.find((each) => label <= upTo(each[unit], unit));
  if (row === undefined) return undefined;
  if (unit === 'g') return mass(row.allowed * 100_000);
  const { numerator, denominator } = MICROGRAMS_IN.lb;
  return mass(Number((BigInt(row.lb) * numerator) / (denominator * 1000n)));
}

/** Whole micrograms, rounded as a label is when it is read: one that says just so much is "to and including". */
function upTo(number: number, unit: LabelUnit): Mass {
  return toMicrograms(BigInt(Math.round(number * 100)), 2, unit);
}

export interface SamplingPlan {
  readonly lot: number;
  readonly sample: number;
  /** Sample correction factor; null for a single package, which only the variation judges. */
  readonly factor: number | null;
  /** Packages of the sample that may be short by more than the variation. */
  readonly over: number;
}

/** Table 2-1, category A: lots up to, sample, factor, packages over the variation. */
const SAMPLING = [
  [1, 1, null, 0],
  [2, 2, 8.984, 0],
  [3, 3, 2.484, 0],
  [4, 4, 1.591, 0],
  [5, 5, 1.241, 0],
  [6, 6, 1.05, 0],
  [7, 7, 0.925, 0],
  [8, 8, 0.836, 0],
  [9, 9, 0.769, 0],
  [10, 10, 0.715, 0],
  [11, 11, 0.672, 0],
  [250, 12, 0.635, 0],
  [3200, 24, 0.422, 0],
  [Number.POSITIVE_INFINITY, 48, 0.291, 1],
] as const;

/** The plan for a lot. @param lot packages, from 1 @throws RangeError otherwise */
export function samplingPlan(lot: number): SamplingPlan {
  if (!Number.isSafeInteger(lot) || lot < 1) throw new RangeError('a lot has one package or more');
  const [, sample, factor, over] = SAMPLING.find(([upper]) => lot <= upper) ?? SAMPLING[SAMPLING.length - 1] ?? [];
  return { lot, sample: sample ?? 48, factor: factor ?? null, over: over ?? 0 };
}

export interface SampleTest {
  readonly plan: SamplingPlan;
  /** Mean of net minus label, and sample standard deviation; micrograms. s is null for one package. */
  readonly meanError: number;
  readonly s: number | null;
  /** Sample error limit: factor times s; micrograms. */
  readonly errorLimit: number;
  readonly average: boolean;
  readonly variation: Mass;
  /** Packages short by more than the variation. */
  readonly over: number;
  readonly single: boolean;
  readonly passes: boolean;
}

/**
 * The test of a sample: the mean package error with the sample error limit added is not below 0, and no more packages
 * than allowed are short by more than the variation.
 * @param nets the sample; as many as the plan asks for, or the whole lot
 * @param lot how many packages there are
 * @returns undefined where the label is outside the table or nothing was weighed
 */
export function sampleTest(nets: readonly Mass[], lot: number, label: Mass, unit: LabelUnit): SampleTest | undefined {
  const variation = maximumVariation(label, unit);
  const [first] = nets;
  if (variation === undefined || first === undefined) return undefined;
  const plan = samplingPlan(lot);
  const spread = spreadOf(nets);
  const meanError = (spread?.mean ?? first) - label;
  const s = spread?.s ?? null;
  const errorLimit = (plan.factor ?? 0) * (s ?? 0);
  const over = nets.filter((net) => net < label - variation).length;
  const average = plan.factor === null || meanError + errorLimit >= 0;
  const single = over <= plan.over;
  return { plan, meanError, s, errorLimit, average, variation, over, single, passes: average && single };
}
