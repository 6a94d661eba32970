/**
 * Check weights: how far they may be off their nominal mass, and whether they are good enough for an instrument.
 *
 * Source: OIML R 111-1:2004, Table 1.
 */
import { type Mass, mass } from '../mass/mass.ts';

/** From the finest to the coarsest of those that a workshop may have. */
export const WEIGHT_CLASSES = ['E2', 'F1', 'F2', 'M1', 'M2'] as const;
export type WeightClass = (typeof WEIGHT_CLASSES)[number];

/** A weight of known mass that the workshop keeps to check its scales. */
export interface CheckWeight {
  readonly nominal: Mass;
  readonly weightClass: WeightClass;
}

const MG = 1_000;
const G = 1_000 * MG;

/** Nominal mass in micrograms; then the limits for E2, F1, F2, M1, M2 in milligrams (null: the class has none). */
const TABLE_1: readonly (readonly [number, number, number, number, number, number | null])[] = [
  [1 * MG, 0.006, 0.02, 0.06, 0.2, null],
  [2 * MG, 0.006, 0.02, 0.06, 0.2, null],
  [5 * MG, 0.006, 0.02, 0.06, 0.2, null],
  [10 * MG, 0.008, 0.025, 0.08, 0.25, null],
  [20 * MG, 0.01, 0.03, 0.1, 0.3, null],
  [50 * MG, 0.012, 0.04, 0.12, 0.4, null],
  [100 * MG, 0.016, 0.05, 0.16, 0.5, 1.6],
  [200 * MG, 0.02, 0.06, 0.2, 0.6, 2],
  [500 * MG, 0.025, 0.08, 0.25, 0.8, 2.5],
  [1 * G, 0.03, 0.1, 0.3, 1, 3],
  [2 * G, 0.04, 0.12, 0.4, 1.2, 4],
  [5 * G, 0.05, 0.16, 0.5, 1.6, 5],
  [10 * G, 0.06, 0.2, 0.6, 2, 6],
  [20 * G, 0.08, 0.25, 0.8, 2.5, 8],
  [50 * G, 0.1, 0.3, 1, 3, 10],
  [100 * G, 0.16, 0.5, 1.6, 5, 16],
  [200 * G, 0.3, 1, 3, 10, 30],
  [500 * G, 0.8, 2.5, 8, 25, 80],
  [1_000 * G, 1.6, 5, 16, 50, 160],
  [2_000 * G, 3, 10, 30, 100, 300],
  [5_000 * G, 8, 25, 80, 250, 800],
];

/** How far a weight may be off its nominal mass, either way; undefined where the table has no such weight. */
export function weightError({ nominal, weightClass }: CheckWeight): Mass | undefined {
  const row = TABLE_1.find(([each]) => each === nominal);
  const milligrams = row?.[1 + WEIGHT_CLASSES.indexOf(weightClass)];
  return milligrams == null ? undefined : mass(Math.round(milligrams * MG));
}

/**
 * Whether a weight can judge an instrument: its own error is at most a third of the permissible error at that load
 * (rule of OIML R 76-1, from memory).
 */
export function isGoodEnough(weight: CheckWeight, permissible: Mass): boolean {
  const error = weightError(weight);
  return error !== undefined && 3 * error <= permissible;
}
