/**
 * Does the true mass lie within the recorded uncertainty as often as k = 2 says, about 95 %? Draws on simulated scales,
 * by what dominates the error, and mixed. k is 2 for rounding, drift, the check and a stated repeatability, and more where
 * a series is all that is known of the scatter (`accept/coverage.ts`). A scale that is off by more than its check can tell
 * apart lies above: its error is not taken off, and counts in full. Nothing here is fitted to the result.
 */
import type { CheckWeight } from '../../src/accept/checkWeights.ts';
import { mass } from '../../src/mass/mass.ts';
import { type Random, seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Figure, Figures } from './figures.ts';
import { drawsOn, type SimulatedScale } from './simulatedDraws.ts';

const G = 1_000_000;
const DRAWS_PER_SCALE = 20;

interface Regime {
  readonly what: string;
  readonly scales: number;
  /** In intervals. */
  readonly scatter: readonly [number, number];
  readonly tremble: readonly [number, number];
  /** In intervals a minute, either way. */
  readonly drift: number;
  /** In millionths, either way. */
  readonly slopePpm: number;
  readonly isChecked: boolean;
}

const QUIET = { scatter: [0, 0], tremble: [0.05, 0.2], drift: 0, slopePpm: 0, isChecked: false } as const;

const REGIMES: Readonly<Record<string, Regime>> = {
  rounding: { ...QUIET, what: 'rounding alone', scales: 100 },
  repeatability: { ...QUIET, what: 'repeatability of 0.5 to 1.5 d, stated', scales: 100, scatter: [0.5, 1.5] },
  drift: { ...QUIET, what: 'a zero that wanders by up to 3 d a minute', scales: 100, drift: 3 },
  check: { ...QUIET, what: 'a span error of up to 100 ppm, checked', scales: 100, slopePpm: 100, isChecked: true },
  mixed: {
    what: 'scales of all kinds, checked',
    scales: 300,
    scatter: [0, 1],
    tremble: [0.05, 0.3],
    drift: 0.5,
    slopePpm: 20,
    isChecked: true,
  },
};

function between([from, to]: readonly [number, number], random: Random): number {
  return from + (to - from) * random.next();
}

function either(most: number, random: Random): number {
  return (2 * random.next() - 1) * most;
}

function someScale(regime: Regime, random: Random): SimulatedScale {
  const d = mass(([0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1][Math.floor(7 * random.next())] as number) * G);
  const scatter = between(regime.scatter, random) * d;
  const tremble = between(regime.tremble, random) * d;
  // A maker knows the repeatability of her scale or not; where nothing is checked she must, or it is in no budget.
  const isStated = !regime.isChecked || random.next() < 0.5;
  return {
    d,
    capacity: mass(20_000 * d),
    tremble,
    scatter,
    lagMs: between([150, 600], random),
    driftPerSecond: (either(regime.drift, random) * d) / 60,
    slopePpm: either(regime.slopePpm, random),
    stated: isStated && scatter > 0 ? mass(Math.round(scatter)) : undefined,
  };
}

/** The check weight for a scale of 20 000 d: 1, 2 or 5 times a power of ten in the upper half, fine enough. */
function weightFor({ capacity }: SimulatedScale): CheckWeight {
  const largest = [5000, 2000, 1000, 500, 200, 100, 50].find((grams) => grams * G <= capacity) ?? 50;
  return { nominal: mass(largest * G), weightClass: 'F1' };
}

interface Tally {
  readonly draws: number;
  readonly within: number;
  readonly worst: number;
  /** Draws that did not come to rest, so nothing was accepted. */
  readonly unsettled: number;
}

function run(regime: Regime, random: Random): Tally {
  let [draws, within, worst, unsettled] = [0, 0, 0, 0];
  for (let index = 0; index < regime.scales; index++) {
    const scale = someScale(regime, random);
    const weight = regime.isChecked ? weightFor(scale) : undefined;
    for (const draw of drawsOn(scale, DRAWS_PER_SCALE, random, weight)) {
      if (!draw) {
        unsettled += 1;
        continue;
      }
      const share = Math.abs(draw.error) / draw.uncertainty;
      draws += 1;
      within += share <= 1 ? 1 : 0;
      worst = Math.max(worst, share);
    }
  }
  return { draws, within, worst, unsettled };
}

/** The share that k = 2 stands for, normal distribution. */
const K2_PERCENT = 95.45;

function percent(what: string, { draws, within, unsettled }: Tally): Figure {
  const value = (100 * within) / draws;
  const more = unsettled === 0 ? '' : `, ${unsettled} did not come to rest`;
  return {
    value,
    unit: '%',
    beside: K2_PERCENT,
    ratio: value / K2_PERCENT,
    what: `truth within U, ${what}, ${draws} draws${more}: beside k = 2`,
  };
}

/** @param seed printed, so that a run can be had again */
export function uncertainty(seed = Math.floor(Math.random() * 2 ** 31)): Figures {
  console.error(`  seed ${seed}`);
  const random = seededRandom(seed);
  const figures: Record<string, Figure> = {};
  let worst = 0;
  for (const [name, regime] of Object.entries(REGIMES)) {
    const tally = run(regime, random);
    worst = Math.max(worst, tally.worst);
    const figure = name === 'mixed' ? 'truth_within_uncertainty_percent' : `truth_within_${name}_percent`;
    figures[figure] = percent(regime.what, tally);
  }
  return {
    ...figures,
    worst_error_over_u: {
      value: worst,
      unit: 'U',
      beside: 4,
      ratio: worst / 4,
      what: 'largest error of all these draws: beside the 4 U that must never be passed',
    },
  };
}
