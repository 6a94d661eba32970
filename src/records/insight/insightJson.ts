/** An insight as JSON: masses as decimal grams in text, shares in parts per million. */
import type { Insight, Known } from '../../insight/learn.ts';
import type { Proposal } from '../../insight/propose.ts';
import { mass } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import { safeJson } from '../safeJson.ts';

const grams = (ug: number) => exactGrams(mass(Math.round(ug)));

function knownData(known: Known | null) {
  if (known === null) return null;
  const { n, mean, s, sure } = known;
  return { n, mean_g: grams(mean), spread_g: grams(s), mean_sure_within_g: grams(sure) };
}

export function insightJson(insight: Insight, proposals: readonly Proposal[]): string {
  const { batches, from, to, pours, left, wasted, losses, scales } = insight;
  const data = {
    batches,
    from,
    to,
    proposals,
    pours: pours.map(({ ingredient, name, by, pours: n, target, errors, error, overs, afterRun }) => ({
      ingredient,
      name,
      by,
      n,
      overs,
      usual_target_g: grams(target),
      error: knownData(error),
      after_run_g: afterRun === null ? null : grams(afterRun),
      errors_g: errors.map(grams),
    })),
    left: left.map(({ where, what, times, residue, sharePpm, residues }) => {
      return {
        where,
        what,
        n: times,
        residue: knownData(residue),
        share_ppm: sharePpm,
        residues_g: residues.map(grams),
      };
    }),
    wasted: wasted.map(({ name, why, times, amount }) => ({ name, why, n: times, amount_g: grams(amount) })),
    losses: losses.map(({ formula, name, batches: n, losses: each, loss, plannedPpm }) => ({
      formula,
      name,
      n,
      planned_ppm: plannedPpm,
      loss_ppm: loss && {
        mean: Math.round(loss.mean),
        spread: Math.round(loss.s),
        mean_sure_within: Math.round(loss.sure),
      },
      losses_ppm: each,
    })),
    scales: scales.map(({ scale, nominal, checks, chart, outside }) => ({
      scale,
      nominal_g: grams(nominal),
      chart: chart && { mean_g: grams(chart.centre), lower_g: grams(chart.lower), upper_g: grams(chart.upper) },
      checks: checks.map(({ at, error, permissible }, index) => {
        return { at, error_g: grams(error), permissible_g: grams(permissible), outside: outside.includes(index) };
      }),
    })),
  };
  return safeJson(data, 2);
}
