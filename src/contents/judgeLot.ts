/** The net contents of a finished lot, judged by the published rules. Every bar of it was weighed. */
import { type Bars, lotOf } from '../facts/bars.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { type Spread, spreadOf } from '../stats/spread.ts';
import type { Drying } from './drying.ts';
import { type LabelUnit, maximumVariation, type SampleTest, sampleTest } from './maximumVariation.ts';
import { type Plan, planFor, SINGLE, type WholeLotTest, wholeLotTest } from './referenceTest.ts';
import { type PackersRules, packersRules, tolerableError } from './tolerance.ts';

export interface LotJudgement {
  readonly label: Mass;
  readonly drying: Drying;
  /** Bars of the lot, as pressed and as they will be at sale. */
  readonly pressed: readonly Mass[];
  readonly atSale: readonly Mass[];
  /** Of the bars at sale; undefined for fewer than two. */
  readonly spread: Spread | undefined;
  /** Expanded uncertainty of one bar, the largest. */
  readonly uncertainty: Mass;
  /** Undefined where the label is outside the table. */
  readonly packer: PackersRules | undefined;
  /** The reference test of the whole lot, below 100 bars; the inspector's plan above. */
  readonly wholeLot: WholeLotTest | undefined;
  readonly plan: Plan | undefined;
  readonly us: SampleTest | undefined;
  /** May this scale judge it: error at most a fifth of the tolerable error (WELMEC guide 6.9). */
  readonly scaleForEU: boolean | undefined;
  /** Interval at most a sixth of the variation (Handbook 133, 2.2). */
  readonly scaleForUS: boolean | undefined;
}

/**
 * @param d interval of the scale that weighed the bars
 * @returns undefined where there are no bars in the lot
 */
export function judgeLot(bars: Bars, label: Mass, unit: LabelUnit, drying: Drying, d: Mass): LotJudgement | undefined {
  const lot = lotOf(bars);
  if (lot.length === 0) return undefined;
  const pressed = lot.map(({ net }) => net);
  // With what is uncertain of the loss: a lot that passes only by a lucky guess has not passed.
  const atSale = pressed.map((net) => mass(Math.floor(net * (1 - drying.upper))));
  const uncertainty = mass(Math.max(...lot.map((bar) => bar.uncertainty)));
  const tolerable = tolerableError(label);
  const variation = maximumVariation(label, unit);
  return {
    label,
    drying,
    pressed,
    atSale,
    spread: spreadOf(atSale),
    uncertainty,
    packer: packersRules(atSale, label),
    wholeLot: wholeLotTest(atSale, label),
    plan: planFor(lot.length, SINGLE),
    us: sampleTest(atSale, lot.length, label, unit),
    scaleForEU: tolerable === undefined ? undefined : 5 * uncertainty <= tolerable,
    scaleForUS: variation === undefined ? undefined : 6 * d <= variation,
  };
}
