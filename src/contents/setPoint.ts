/**
 * The set-point: what a bar should weigh as pressed so that the lot is expected to pass, and no more.
 *
 * At sale the mean must be at least the largest of: the label; label - TNE + z(0.975) s; label - 2 TNE + z(0.9999) s
 * (the three rules of the packer as shares of a normal distribution: UK guidance for packers, 2.5 % and 1 in 10 000); and
 * in the United States label - MAV + z(0.9999) s, where the share is our own choice, the same as for "none".
 *
 * Where the spread is known from few bars only, the next bar is expected within t s sqrt(1 + 1/n) of their mean instead
 * of z s (prediction limit; NIST/SEMATECH e-Handbook, 7.1.4 and 7.2.6 on intervals from few values).
 */
import { type Mass, mass } from '../mass/mass.ts';
import { normalQuantile } from '../stats/normal.ts';
import { studentQuantile } from '../stats/student.ts';
import type { Drying } from './drying.ts';
import { type LabelUnit, maximumVariation } from './maximumVariation.ts';
import { NONE_SHARE, SHORT_SHARE, tolerableError } from './tolerance.ts';

/** How the maker's own bars scatter about their set-point. */
export interface OwnSpread {
  /** Standard deviation, micrograms. */
  readonly s: number;
  /** Bars that it is known from; null where it is a bound or known from long use. */
  readonly n: number | null;
}

export type RuleName = 'label' | 'tolerable error' | 'twice the tolerable error' | 'maximum variation';

/** What one rule asks of the mean at sale, micrograms, not rounded. */
export interface RuleAsks {
  readonly rule: RuleName;
  readonly mean: number;
}

export interface SetPointInput {
  readonly label: Mass;
  readonly unit: LabelUnit;
  readonly spread: OwnSpread;
  readonly drying: Pick<Drying, 'upper'>;
  /** Bars in the lot: the mean of few lies farther off; null for the mean of very many. */
  readonly bars: number | null;
  /** Interval of the scale that weighs the bars: the set-point is a multiple of it. */
  readonly d: Mass;
}

export interface SetPoint {
  readonly setPoint: Mass;
  /** The rules that have an answer for this label. */
  readonly asks: readonly RuleAsks[];
  readonly governs: RuleAsks;
}

/** The mean of a lot must be at the label in so many of 100 lots. */
const LOT_CONFIDENCE = 0.95;

/** How far below its mean the share `p` of the bars may lie, micrograms. */
function farBelow(p: number, { s, n }: OwnSpread): number {
  if (s === 0) return 0;
  if (n === null) return normalQuantile(1 - p) * s;
  return studentQuantile(1 - p, n - 1) * s * Math.sqrt(1 + 1 / n);
}

/** How far the mean of a lot may lie below where it was aimed, micrograms. */
function meanMargin({ s, n }: OwnSpread, bars: number | null): number {
  if (bars === null || s === 0) return 0;
  const quantile = n === null ? normalQuantile(LOT_CONFIDENCE) : studentQuantile(LOT_CONFIDENCE, n - 1);
  return (quantile * s) / Math.sqrt(bars);
}

/** What each rule asks of the mean at sale. @throws RangeError when a spread is said to come from fewer than two bars */
export function meansAsked({ label, unit, spread, bars }: Omit<SetPointInput, 'drying' | 'd'>): RuleAsks[] {
  if (spread.n !== null && spread.n < 2) throw new RangeError('a spread comes from two bars or more');
  const tolerable = tolerableError(label);
  const variation = maximumVariation(label, unit);
  const none = farBelow(NONE_SHARE, spread);
  return [
    { rule: 'label', mean: label + meanMargin(spread, bars) },
    ...(tolerable === undefined
      ? []
      : ([
          { rule: 'tolerable error', mean: label - tolerable + farBelow(SHORT_SHARE, spread) },
          { rule: 'twice the tolerable error', mean: label - 2 * tolerable + none },
        ] as const)),
    ...(variation === undefined ? [] : [{ rule: 'maximum variation', mean: label - variation + none } as const]),
  ];
}

/** The smallest set-point at which the lot is expected to pass by every rule that knows this label. */
export function setPointFor(input: SetPointInput): SetPoint {
  const asks = meansAsked(input);
  const governs = asks.reduce((most, each) => (each.mean > most.mean ? each : most));
  const pressed = governs.mean / (1 - input.drying.upper);
  // Away with the dust of floating point before rounding up: 70 g of dried bar must not become 70.1 g.
  const setPoint = mass(Math.ceil(Number((pressed / input.d).toPrecision(12))) * input.d);
  return { setPoint, asks, governs };
}

export interface GivenAway {
  /** As pressed, for each bar, micrograms: what is above the label once dried. Not below 0. */
  readonly eachUg: number;
  readonly lot: Mass;
}

/** What a set-point gives away: mix that nobody pays for. */
export function givenAway(setPoint: Mass, label: Mass, drying: Pick<Drying, 'share'>, bars: number): GivenAway {
  const eachUg = Math.max(0, setPoint - label / (1 - drying.share));
  return { eachUg, lot: mass(Math.round(eachUg * bars)) };
}
