/** Numbers of an insight in words, for the terminal and the page alike. */
import type { Insight, Known, LeftHabit, LossHabit, PourHabit, ScaleHabit } from '../../insight/learn.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';

/** Decimals that show a spread with two digits, from 1 to 4. */
function decimalsFor(size: number): number {
  return Math.min(4, Math.max(1, 7 - Math.floor(Math.log10(Math.max(1, Math.abs(size))))));
}

/** @param like micrograms whose digits are shown; the value's own when left out */
export function shortGrams(of: number, like = of, plus = false): string {
  return `${printMass(mass(Math.round(of)), { decimals: decimalsFor(like), plus })} g`;
}

export function percentOf(ppm: number, digits = 2): string {
  return `${Number((ppm / 10_000).toPrecision(digits))} %`;
}

/** `mean +0.21 g (+-0.14), spread 0.34 g` */
export function knownInWords({ mean, sure, s }: Known, plus = true): string {
  const like = Math.max(s, sure, 1);
  const about = shortGrams(sure, like).replace(' g', '');
  return `mean ${shortGrams(mean, like, plus)} (\u00b1${about}), spread ${shortGrams(s, like)}`;
}

export function pourInWords({ pours, error, overs, afterRun }: PourHabit): string {
  return [
    `n ${pours}`,
    ...(error ? [knownInWords(error)] : []),
    overs === 0 ? 'none over' : `${overs} over`,
    ...(afterRun === null ? [] : [`runs on ${shortGrams(afterRun)}`]),
  ].join(', ');
}

export function leftInWords({ times, residue, sharePpm }: LeftHabit): string {
  return [
    `n ${times}`,
    ...(residue ? [knownInWords(residue, false)] : []),
    `${percentOf(sharePpm)} of what was in it`,
  ].join(', ');
}

export function lossInWords({ batches, loss, plannedPpm }: LossHabit): string {
  const found = loss
    ? [`mean ${percentOf(loss.mean, 3)} (\u00b1${percentOf(loss.sure)}), spread ${percentOf(loss.s)}`]
    : [];
  return [`n ${batches}`, ...found, `the formula reckons with ${percentOf(plannedPpm, 3)}`].join(', ');
}

export function scaleInWords({ checks, chart, outside }: ScaleHabit): string {
  const errors = checks.map(({ error }) => error);
  const like = chart ? chart.upper - chart.lower : Math.max(1, ...errors.map(Math.abs));
  const last = errors.at(-1) ?? 0;
  return [
    `n ${checks.length}`,
    `last ${shortGrams(last, like, true)}`,
    ...(chart
      ? [
          `mean ${shortGrams(chart.centre, like, true)}, limits ${shortGrams(chart.lower, like, true)} to ${shortGrams(chart.upper, like, true)}`,
          outside.length === 0 ? 'none beyond them' : `${outside.length} beyond them`,
        ]
      : []),
  ].join(', ');
}

/** `1000 g` */
export function weightInWords(of: Mass): string {
  return `${printMass(of, { decimals: 3 }).replace(/\.?0+$/, '')} g`;
}

export function spanInWords({ batches, from, to }: Insight): string {
  if (from === null || to === null) return 'No batch has been weighed yet.';
  const days = from.slice(0, 10) === to.slice(0, 10) ? from.slice(0, 10) : `${from.slice(0, 10)} to ${to.slice(0, 10)}`;
  return `From ${batches === 1 ? '1 batch' : `${batches} batches`}, ${days}. Nothing is changed by it.`;
}

/** `0.80 g taken back out, in 3 pours` */
export function wasteInWords(amount: Mass, why: string, times: number): string {
  return `${shortGrams(amount)} ${why}, ${times === 1 ? 'once' : `${times} times`}`;
}
