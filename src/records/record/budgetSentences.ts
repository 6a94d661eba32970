/** The terms of each weighing's uncertainty in print; weighings with the same terms share a sentence. */
import { USUAL_FACTOR } from '../../accept/coverage.ts';
import type { Mass } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import type { BatchRecord } from './batchRecord.ts';
import type { RecordDraw } from './recordDraws.ts';

/**
 * `bench, A1 and A2: rounding 0.041, repeatability 0.071, zero drift 0, scale check not done`; with the factor where it is
 * not 2, since a short series was all that was known of the scale's scatter.
 */
export function budgetSentences({ draws, scales }: BatchRecord): string[] {
  const checked = new Set(
    scales.filter(({ checks }) => checks.some(({ checkedAt }) => checkedAt !== null)).map(({ id }) => id),
  );
  // Where nobody has stated or measured how much a scale's readings scatter, nothing was counted for it.
  const scattersUnknown = new Set(
    scales
      .filter(
        ({ repeatability, checks }) => repeatability === null && checks.every((each) => each.repeatability === null),
      )
      .map(({ id }) => id),
  );
  const alike = new Map<string, { scale: string; terms: string; draws: string[] }>();
  for (const draw of draws) {
    const terms = termsOf(draw, checked.has(draw.scale), scattersUnknown.has(draw.scale));
    const key = JSON.stringify([draw.scale, terms]);
    const known = alike.get(key);
    if (known) known.draws.push(draw.draw);
    else alike.set(key, { scale: draw.scale, terms, draws: [draw.draw] });
  }
  return [...alike.values()].map(({ scale, terms, draws: ids }) => `${scale}, ${ids.join(' ')}: ${terms}.`);
}

function termsOf({ budget, coverage, decimals }: RecordDraw, isChecked: boolean, isUnknown: boolean): string {
  const show = (of: Mass) => (of === 0 ? '0' : printMass(of, { decimals: decimals + 2, rounding: 'up' }));
  return [
    `rounding ${show(budget.rounding)}`,
    isUnknown ? 'repeatability not known, so ± is at least this' : `repeatability ${show(budget.repeatability)}`,
    `zero drift ${show(budget.drift)}`,
    `scale check ${isChecked ? show(budget.check) : 'not done'}`,
    ...(coverage === USUAL_FACTOR ? [] : [`k = ${coverage}`]),
  ].join(', ');
}
