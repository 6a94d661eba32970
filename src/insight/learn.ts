/**
 * What is worked out of the observations: by ingredient and hand, by cup and vessel, by formula, by scale. Where there
 * are too few, nothing is said but that there are too few.
 */
import type { Fact } from '../facts/fact.ts';
import { type Mass, mass, minus, sumOf } from '../mass/mass.ts';
import { learnAfterRun } from '../signal/afterRun.ts';
import { medianOf } from '../signal/median.ts';
import { individualsChart } from '../stats/individualsChart.ts';
import { type Spread, spreadOf } from '../stats/spread.ts';
import { studentQuantile } from '../stats/student.ts';
import type { Left, Pour, Samples, Wasted, Yield } from './samples.ts';

/** Fewer than this tell nothing of a mean or a spread (common practice, no source). */
export const LEAST = 8;
/** Batches from mix to bars are rarer. */
export const LEAST_YIELDS = 5;
/** Checks that a chart's limits can be drawn from (common practice, no source). */
export const LEAST_CHECKS = 8;

/** A mean with how surely it is known. */
export interface Known extends Spread {
  /** Half of the interval that holds the true mean with 95 % confidence: t s / sqrt(n) (NIST e-Handbook, 1.3.5.2). */
  readonly sure: number;
}

/** How one hand pours one ingredient. */
export interface PourHabit {
  readonly ingredient: string;
  readonly name: string;
  readonly by: string;
  readonly pours: number;
  /** The usual target; errors at other targets are scaled to it. */
  readonly target: Mass;
  /** Errors of where the pour first came to rest, oldest first, micrograms at the usual target. */
  readonly errors: readonly Mass[];
  /** Of these errors; null while there are too few. */
  readonly error: Known | null;
  /** Pours that were too much at first. */
  readonly overs: number;
  /** What ran on after the hand had stopped, the middle of all; null while too few were seen. */
  readonly afterRun: Mass | null;
}

export interface LeftHabit {
  readonly where: Left['where'];
  readonly what: string;
  readonly times: number;
  readonly residue: Known | null;
  /** All that stayed behind as a share of all that was in, parts per million. */
  readonly sharePpm: number;
  readonly residues: readonly Mass[];
}

export interface WasteHabit {
  readonly name: string;
  readonly why: Wasted['why'];
  readonly times: number;
  readonly amount: Mass;
}

export interface LossHabit {
  readonly formula: string;
  readonly name: string;
  readonly batches: number;
  /** What was lost of each mix, parts per million, oldest first. */
  readonly losses: readonly number[];
  readonly loss: Known | null;
  /** What the newest version of the formula reckons with, parts per million. */
  readonly plannedPpm: number;
}

/** A scale as its checks with one weight show it. */
export interface ScaleHabit {
  readonly scale: string;
  readonly nominal: Mass;
  readonly checks: readonly { readonly at: string; readonly error: Mass; readonly permissible: Mass }[];
  /** null while there are too few checks. */
  readonly chart: { readonly centre: number; readonly lower: number; readonly upper: number } | null;
  /** Checks beyond the chart's limits, by their place from 0. */
  readonly outside: readonly number[];
}

export interface Insight {
  readonly batches: number;
  readonly from: string | null;
  readonly to: string | null;
  readonly pours: readonly PourHabit[];
  readonly left: readonly LeftHabit[];
  readonly wasted: readonly WasteHabit[];
  readonly losses: readonly LossHabit[];
  readonly scales: readonly ScaleHabit[];
}

/** @returns null for fewer than `least` */
export function known(values: readonly Mass[], least: number): Known | null {
  const spread = values.length < least ? undefined : spreadOf(values);
  if (!spread) return null;
  return { ...spread, sure: (studentQuantile(0.975, spread.n - 1) * spread.s) / Math.sqrt(spread.n) };
}

/**
 * @param batches observations of each batch, oldest first
 * @param checks facts of the scales' checks, oldest first
 */
export function learn(batches: readonly Samples[], checks: readonly Fact[]): Insight {
  const pours = batches.flatMap((each) => each.pours);
  const intervals = Object.assign({}, ...batches.map((each) => each.intervals)) as Readonly<Record<string, Mass>>;
  return {
    batches: batches.length,
    from: pours[0]?.at ?? null,
    to: pours.at(-1)?.at ?? null,
    pours: groups(pours, ({ ingredient, by }) => [ingredient, by]).map(pourHabit),
    left: groups(
      batches.flatMap(({ left }) => left),
      ({ where, what }) => [where, what],
    ).map(leftHabit),
    wasted: groups(
      batches.flatMap(({ wasted }) => wasted),
      ({ ingredient, why }) => [ingredient, why],
    )
      .map(wasteHabit)
      .sort((a, b) => b.amount - a.amount),
    losses: groups(
      batches.flatMap(({ yields }) => yields),
      ({ formula }) => [formula],
    ).map(lossHabit),
    scales: scaleHabits(checks, intervals),
  };
}

/** Groups in the order of their first; never empty. */
export function groups<T>(all: readonly T[], keyOf: (each: T) => readonly string[]): (readonly [T, ...T[]])[] {
  const found = new Map<string, [T, ...T[]]>();
  for (const each of all) {
    const key = JSON.stringify(keyOf(each));
    const group = found.get(key);
    if (group) group.push(each);
    else found.set(key, [each]);
  }
  return [...found.values()];
}

/** An error at another target, as it would be at the usual one. */
export function scaledErrors(pours: readonly Pour[], usual: Mass): Mass[] {
  return pours.map(({ first, target }) => mass(Math.round((minus(first, target) * usual) / target)));
}

/** The target in the middle. */
export function usualTarget(pours: readonly Pour[]): Mass {
  return mass(Math.round(medianOf(pours.map(({ target }) => target))));
}

function pourHabit(pours: readonly [Pour, ...Pour[]]): PourHabit {
  const { ingredient, by } = pours[0];
  const target = usualTarget(pours);
  const errors = scaledErrors(pours, target);
  const seen = learnAfterRun(pours.flatMap(({ stop }) => (stop === null ? [] : [stop]))).seen;
  return {
    ingredient,
    name: pours.at(-1)?.name ?? ingredient,
    by,
    pours: pours.length,
    target,
    errors,
    error: known(errors, LEAST),
    overs: pours.filter(({ over }) => over).length,
    afterRun: seen.length < LEAST ? null : mass(Math.round(medianOf(seen.map(({ beyond }) => beyond)))),
  };
}

function leftHabit(all: readonly [Left, ...Left[]]): LeftHabit {
  const { where, what } = all[0];
  const residues = all.map(({ residue }) => residue);
  const whole = sumOf(all.map(({ of }) => of));
  const sharePpm = whole > 0 ? Math.round((sumOf(residues) / whole) * 1_000_000) : 0;
  return { where, what, times: all.length, residue: known(residues, LEAST), sharePpm, residues };
}

function wasteHabit(all: readonly [Wasted, ...Wasted[]]): WasteHabit {
  const { name, why } = all[0];
  return { name, why, times: all.length, amount: sumOf(all.map(({ amount }) => amount)) };
}

function lossHabit(all: readonly [Yield, ...Yield[]]): LossHabit {
  const newest = all.at(-1) ?? all[0];
  const losses = all.map(({ mix, bars }) => Math.round((minus(mix, bars) / mix) * 1_000_000));
  return {
    formula: newest.formula,
    name: newest.name,
    batches: all.length,
    losses,
    loss: known(losses.map(mass), LEAST_YIELDS),
    plannedPpm: newest.plannedPpm,
  };
}

function scaleHabits(checks: readonly Fact[], intervals: Readonly<Record<string, Mass>>): ScaleHabit[] {
  const rows = checks.flatMap((fact) => {
    if (fact.kind !== 'scale-checked') return [];
    const { scale, at } = fact;
    return fact.rows
      .filter(({ kind }) => kind === 'weight')
      .map(({ nominal, shown, permissible }) => ({ scale, at, nominal, error: minus(shown, nominal), permissible }));
  });
  const all = groups(rows, ({ scale, nominal }) => [scale, String(nominal)]);
  return all.map((each): ScaleHabit => {
    const { scale, nominal } = each[0];
    const found = each.length < LEAST_CHECKS ? undefined : individualsChart(each.map(({ error }) => error));
    // A display that shows the same for weeks has no range to draw limits from; one step of it is no signal yet.
    const step = (Object.hasOwn(intervals, scale) ? intervals[scale] : undefined) ?? 0;
    const middle = found && step > 0 ? Math.round(found.centre / step) * step : 0;
    const chart = found && {
      centre: found.centre,
      lower: step > 0 ? Math.min(found.lower, middle - step) : found.lower,
      upper: step > 0 ? Math.max(found.upper, middle + step) : found.upper,
    };
    const checksOf = each.map(({ at, error, permissible }) => ({ at, error, permissible }));
    const outside = chart
      ? checksOf.flatMap(({ error }, at) => (error < chart.lower || error > chart.upper ? [at] : []))
      : [];
    return { scale, nominal, checks: checksOf, chart: chart ?? null, outside };
  });
}
