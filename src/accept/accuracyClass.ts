/**
 * Accuracy classes of weighing instruments, and which of them an instrument can belong to.
 *
 * Source: OIML R 76-1:2006, Table 3 (also Directive 90/384/EEC, Annex I).
 */
import { type Mass, mass } from '../mass/mass.ts';

/** From the finest (special accuracy) to the coarsest (ordinary accuracy), as they are marked on the instrument. */
export const ACCURACY_CLASSES = ['I', 'II', 'III', 'IIII'] as const;
export type AccuracyClass = (typeof ACCURACY_CLASSES)[number];

/** What an instrument's error limits are counted from. */
export interface Verification {
  readonly accuracyClass: AccuracyClass;
  /** The verification scale interval *e*; often the same as the step of the display, *d*. */
  readonly e: Mass;
}

/** One row of Table 3. Bounds of e in micrograms, inclusive; n is capacity / e; Min in e. */
interface Row {
  readonly accuracyClass: AccuracyClass;
  readonly eFrom: number;
  readonly eTo: number;
  readonly nFrom: number;
  readonly nTo: number;
  readonly min: number;
}

const G = 1_000_000;
const ANY = Number.POSITIVE_INFINITY;

const TABLE_3: readonly Row[] = [
  { accuracyClass: 'I', eFrom: 0.001 * G, eTo: ANY, nFrom: 50_000, nTo: ANY, min: 100 },
  { accuracyClass: 'II', eFrom: 0.001 * G, eTo: 0.05 * G, nFrom: 100, nTo: 100_000, min: 20 },
  { accuracyClass: 'II', eFrom: 0.1 * G, eTo: ANY, nFrom: 5_000, nTo: 100_000, min: 50 },
  { accuracyClass: 'III', eFrom: 0.1 * G, eTo: 2 * G, nFrom: 100, nTo: 10_000, min: 20 },
  { accuracyClass: 'III', eFrom: 5 * G, eTo: ANY, nFrom: 500, nTo: 10_000, min: 20 },
  { accuracyClass: 'IIII', eFrom: 5 * G, eTo: ANY, nFrom: 100, nTo: 1_000, min: 10 },
];

function rowsFor({ accuracyClass, e }: Verification): readonly Row[] {
  return TABLE_3.filter((row) => row.accuracyClass === accuracyClass && e >= row.eFrom && e <= row.eTo);
}

/** Whether an instrument of this capacity can be of the class with this e. */
export function fitsClass(verification: Verification, capacity: Mass): boolean {
  const n = capacity / verification.e;
  return rowsFor(verification).some(({ nFrom, nTo }) => n >= nFrom && n <= nTo);
}

/** The minimum capacity Min: below it the relative error may be too large. Undefined for an e that the class has not. */
export function minimumCapacity(verification: Verification): Mass | undefined {
  const row = rowsFor(verification)[0];
  return row && mass(row.min * verification.e);
}

/** The smallest e that any class has, 1 mg; a finer display is an auxiliary one. */
const SMALLEST_E = 0.001 * G;

/**
 * The class of an instrument whose maker does not know it: the coarsest that its capacity and interval allow, with
 * e = d. It is a guess, so say so where it is used. Undefined where no class fits.
 */
export function inferClass(d: Mass, capacity: Mass): Verification | undefined {
  const e = mass(Math.max(d, SMALLEST_E));
  return ACCURACY_CLASSES.map((accuracyClass) => ({ accuracyClass, e })).findLast((each) => fitsClass(each, capacity));
}
