/**
 * The reference test: how an inspector in the EU or the UK judges a lot by a sample.
 *
 * Sources: Council Directive 76/211/EEC, Annex II, 2.2 and 2.3 (double plan, test of the mean); the UK's Weights and
 * Measures (Packaged Goods) Regulations, SI 2006/659, schedule 2 (single plan; lots below 100 as a whole, at most 5 %
 * defective; test of the mean). A defective is a pack short by more than the tolerable error.
 */
import type { Mass } from '../mass/mass.ts';
import { spreadOf } from '../stats/spread.ts';
import { tolerableError } from './tolerance.ts';

/** One look at a sample: how many defectives are few enough, and how many too many. */
export interface Stage {
  readonly sample: number;
  /** Defectives of this and earlier stages together. */
  readonly accept: number;
  readonly reject: number;
}

export interface Plan {
  readonly from: number;
  readonly to: number;
  readonly stages: readonly Stage[];
}

/** Directive, Annex II, 2.2.1: not destructive, double. */
export const DOUBLE: readonly Plan[] = [
  {
    from: 100,
    to: 500,
    stages: [
      { sample: 30, accept: 1, reject: 3 },
      { sample: 30, accept: 4, reject: 5 },
    ],
  },
  {
    from: 501,
    to: 3200,
    stages: [
      { sample: 50, accept: 2, reject: 5 },
      { sample: 50, accept: 6, reject: 7 },
    ],
  },
  {
    from: 3201,
    to: Number.POSITIVE_INFINITY,
    stages: [
      { sample: 80, accept: 3, reject: 7 },
      { sample: 80, accept: 8, reject: 9 },
    ],
  },
];

/** SI 2006/659, schedule 2, paragraph 3: not destructive, single. */
export const SINGLE: readonly Plan[] = [
  { from: 100, to: 500, stages: [{ sample: 50, accept: 3, reject: 4 }] },
  { from: 501, to: 3200, stages: [{ sample: 80, accept: 5, reject: 6 }] },
  { from: 3201, to: Number.POSITIVE_INFINITY, stages: [{ sample: 125, accept: 7, reject: 8 }] },
];

/** Lots of 100 or more where weighing a pack's content destroys it. */
export const DESTRUCTIVE: Plan = {
  from: 100,
  to: Number.POSITIVE_INFINITY,
  stages: [{ sample: 20, accept: 1, reject: 2 }],
};

/** Below so many packs the whole lot is weighed. */
export const WHOLE_BELOW = 100;
const WHOLE_DEFECTIVE_PERCENT = 5;

/** The plan for a lot; undefined below 100, where the whole lot is weighed. */
export function planFor(lot: number, plans: readonly Plan[]): Plan | undefined {
  return plans.find(({ from, to }) => lot >= from && lot <= to);
}

export type Outcome = 'accepted' | 'rejected' | 'next stage';

/** What a plan says of the defectives found, stage by stage. @param defectives as many stages as were done, from one */
export function judgeDefectives({ stages }: Plan, defectives: readonly number[]): Outcome {
  let sum = 0;
  for (const [index, { accept, reject }] of stages.entries()) {
    const found = defectives[index];
    if (found === undefined) return 'next stage';
    sum += found;
    if (sum <= accept) return 'accepted';
    if (sum >= reject) return 'rejected';
  }
  return 'rejected';
}

/** How many defectives a lot below 100 may hold: 5 %. */
export function mostDefective(lot: number): number {
  return Math.floor((lot * WHOLE_DEFECTIVE_PERCENT) / 100);
}

/** By how many sample standard deviations the mean of a sample may lie below the label: t(0.995, n - 1) / sqrt(n). */
export function meanFactor(lot: number, destructive = false): { readonly sample: number; readonly k: number } {
  if (destructive) return { sample: 20, k: 0.64 };
  if (lot < WHOLE_BELOW) return { sample: lot, k: 0 };
  return lot <= 500 ? { sample: 30, k: 0.503 } : { sample: 50, k: 0.379 };
}

/** Mean not below `nominal - k s`. @param s sample standard deviation; both micrograms */
export function meanPasses(mean: number, s: number, nominal: Mass, k: number): boolean {
  return mean >= nominal - k * s;
}

export interface WholeLotTest {
  readonly defective: number;
  readonly most: number;
  readonly mean: number;
  readonly passes: boolean;
}

/**
 * The reference test of a lot below 100, every pack of it weighed.
 * @returns undefined for larger lots, for fewer than two packs, and where the label is outside the table
 */
export function wholeLotTest(nets: readonly Mass[], nominal: Mass): WholeLotTest | undefined {
  const tolerable = tolerableError(nominal);
  const spread = spreadOf(nets);
  if (tolerable === undefined || spread === undefined || nets.length >= WHOLE_BELOW) return undefined;
  const defective = nets.filter((net) => net < nominal - tolerable).length;
  const most = mostDefective(nets.length);
  const { mean } = spread;
  return { defective, most, mean, passes: defective <= most && meanPasses(mean, 0, nominal, 0) };
}
