/**
 * What the evidence speaks for: better loss allowances, bands and habits. Each proposal carries its evidence, and
 * nothing is changed by it: formulas and scales are the maker's.
 */

import { mass } from '../mass/mass.ts';
import { studentQuantile } from '../stats/student.ts';
import { groups, type Insight, known, LEAST, type LeftHabit, scaledErrors, usualTarget } from './learn.ts';
import type { Pour, Samples } from './samples.ts';
import { toleranceFactor } from './toleranceFactor.ts';

export interface Proposal {
  readonly about: 'band' | 'loss' | 'hand' | 'cup' | 'scale';
  /** What it is about: an ingredient, a formula, a scale. */
  readonly what: string;
  /** What might be done, a sentence. */
  readonly say: string;
  /** What speaks for it: numbers, and how sure they are. */
  readonly evidence: string;
}

/** A band is judged by no fewer pours (common practice, no source). */
const LEAST_FOR_BAND = 15;
/** Share of pours that a band should hold, and how sure that should be. */
const HELD = 0.95;
const SURE = 0.95;
/** So much of the present band may be left over before a narrower one is worth a word. */
const WORTH = 0.5;
/** More of the pours over their band than this is often. */
const OFTEN = 0.1;

export function propose(insight: Insight, batches: readonly Samples[]): Proposal[] {
  const pours = batches.flatMap((each) => each.pours);
  return [
    ...lossProposals(insight),
    ...groups(pours, ({ ingredient }) => [ingredient]).flatMap(bandProposals),
    ...handProposals(insight),
    ...insight.left.flatMap((left) => cupProposal(left, pours)),
    ...scaleProposals(insight),
  ];
}

const percent = (of: number, digits = 2) => `${Number(of.toPrecision(digits))} %`;

/** Rounded up to a step that a formula is written in. */
function upToStep(share: number): number {
  const step = share < 0.01 ? 0.001 : share < 0.05 ? 0.0025 : 0.005;
  return Math.ceil(share / step - 1e-9) * step;
}

function bandProposals(pours: readonly [Pour, ...Pour[]]): Proposal[] {
  const newest = pours.at(-1) ?? pours[0];
  const target = usualTarget(pours);
  const error = known(scaledErrors(pours, target), LEAST_FOR_BAND);
  if (!error || newest.target <= 0) return [];
  const reach = (Math.abs(error.mean) + toleranceFactor(error.n, HELD, SURE) * error.s) / target;
  const fitting = upToStep(reach);
  const present = Math.min(newest.target - newest.low, newest.high - newest.target) / newest.target;
  const overs = pours.filter(({ over }) => over).length;
  const evidence = `${error.n} pours first came to rest ${off(error.mean / target)} on average, spread ${percent((100 * error.s) / target)}; ${HELD * 100} % of all within ${percent(100 * fitting, 3)} either side with ${SURE * 100} % confidence`;
  if (overs >= 3 && overs / pours.length > OFTEN && fitting > present) {
    return [
      {
        about: 'band',
        what: newest.name,
        say: `Its band of about ${percent(100 * present)} is often missed: a smaller tool or a slower end, or, if the product allows it, a band of ${percent(100 * fitting, 3)}.`,
        evidence: `${overs} of ${pours.length} went over; ${evidence}`,
      },
    ];
  }
  if (fitting > WORTH * present) return [];
  return [
    {
      about: 'band',
      what: newest.name,
      say: `Its band of about ${percent(100 * present)} could be ${percent(100 * fitting, 3)}, if it matters; the plan says whether the scale can judge it.`,
      evidence,
    },
  ];
}

function off(share: number): string {
  if (Math.abs(share) < 0.0005) return 'on the target';
  const text = percent(Math.abs(100 * share));
  return share >= 0 ? `${text} above the target` : `${text} below the target`;
}

function lossProposals({ losses }: Insight): Proposal[] {
  return losses.flatMap(({ name, loss, plannedPpm, batches }): Proposal[] => {
    if (!loss) return [];
    // Where the next batch's loss stays below, with 95 % confidence (prediction interval for one more, one-sided).
    const most = loss.mean + studentQuantile(SURE, loss.n - 1) * loss.s * Math.sqrt(1 + 1 / loss.n);
    const allowance = Math.max(0, Math.ceil(most / 1_000 - 1e-9) / 10);
    const present = plannedPpm / 10_000;
    if (Math.abs(allowance - present) < 0.2) return [];
    const why = allowance > present ? 'or the last bar will be short' : 'less mix is left over then';
    return [
      {
        about: 'loss',
        what: name,
        say: `Reckon with a loss of ${allowance.toFixed(1)} % in place of ${percent(present, 3)}: ${why}.`,
        evidence: `${batches} batches lost ${percent(loss.mean / 10_000, 3)} from mix to bars on average (\u00b1${percent(loss.sure / 10_000)}), spread ${percent(loss.s / 10_000)}; the next stays below ${allowance.toFixed(1)} % with 95 % confidence`,
      },
    ];
  });
}

/** A hand that is surely off to one side, by more than a quarter of what its pours spread. */
function handProposals({ pours }: Insight): Proposal[] {
  return pours.flatMap(({ name, by, error, target }): Proposal[] => {
    if (!error || error.n < LEAST || Math.abs(error.mean) <= error.sure) return [];
    if (Math.abs(error.mean) < error.s / 4 || Math.abs(error.mean) < 0.001 * target) return [];
    const side = error.mean > 0 ? 'stop a little earlier' : 'go on a little longer';
    return [
      {
        about: 'hand',
        what: name,
        say: `${by} may ${side}.`,
        evidence: `${error.n} pours ended ${off(error.mean / target)} on average (\u00b1${percent((100 * error.sure) / target)}, 95 % confidence)`,
      },
    ];
  });
}

/** What stays in a cup and eats up most of what the band allows below. */
function cupProposal({ where, what, residue, times }: LeftHabit, pours: readonly Pour[]): Proposal[] {
  const mine = pours.filter(({ name }) => name === what);
  const newest = mine.at(-1);
  if (where !== 'cup' || !residue || !newest) return [];
  const allowed = newest.target - newest.low;
  if (residue.mean - residue.sure <= allowed / 2) return [];
  const share = (100 * residue.mean) / newest.target;
  return [
    {
      about: 'cup',
      what,
      say: `What stays in its cup takes more than half of what its band allows below: a smaller or smoother cup, a rinse, or straight out of its jar.`,
      evidence: `${times} times ${percent(share)} of the target stayed in the cup on average (\u00b1${percent((100 * residue.sure) / newest.target)}); the band allows ${percent((100 * allowed) / newest.target)} below`,
    },
  ];
}

function scaleProposals({ scales }: Insight): Proposal[] {
  return scales.flatMap(({ scale, nominal, checks, chart, outside }): Proposal[] => {
    const last = checks.at(-1);
    if (!chart || !last || !outside.includes(checks.length - 1)) return [];
    const grams = (of: number) => `${(mass(Math.round(of)) / 1_000_000).toFixed(3)} g`;
    return [
      {
        about: 'scale',
        what: `${scale} scale`,
        say: `Its last check was otherwise than its checks before: look it over (level, draught, dirt under the pan, the weight itself), and check again.`,
        evidence: `with ${grams(nominal)} it was off by ${grams(last.error)}; ${checks.length} checks stay within ${grams(chart.lower)} to ${grams(chart.upper)}`,
      },
    ];
  });
}
