/** Set-point and judgement in sentences, with the numbers that they rest on. */
import { type Mass, mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import type { Drying } from './drying.ts';
import type { LotJudgement } from './judgeLot.ts';
import type { SampleTest } from './maximumVariation.ts';
import type { RuleName } from './setPoint.ts';

/** Goes with every judgement of net contents. */
export const WHO_DECIDES =
  'This is a help for aiming, and proves nothing to others: a legal-for-trade scale and the rules of the place where you sell decide.';

const RULES: Readonly<Record<RuleName, string>> = {
  label: 'the mean of the lot must reach the label',
  'tolerable error': 'at most 1 bar in 40 may be short by more than the tolerable error (EU)',
  'twice the tolerable error': 'no bar may be short by more than twice the tolerable error (EU)',
  'maximum variation': 'no bar may be short by more than the maximum allowable variation (US)',
};

/** The rule that a set-point follows, as a clause. */
export function ruleInWords(rule: RuleName): string {
  return RULES[rule];
}

/** Micrograms as grams with two decimals. */
export function grams2(micrograms: number): string {
  return `${printMass(mass(Math.round(micrograms)), { decimals: 2 })} g`;
}

/** `4.5 % drying loss, learnt from 3 bars weighed again after 14 days or more`. */
export function dryingInWords({ share, upper, from, bars, days }: Drying): string {
  const percent = (of: number) => `${(of * 100).toFixed(1)} %`;
  if (from === 'nothing') return 'no drying loss is known: none is taken off';
  if (from === 'formula') return `${percent(share)} drying loss, as the formula states`;
  const count = bars === 1 ? '1 bar' : `${bars} bars`;
  const after = `after ${days === 1 ? '1 day' : `${days ?? 1} days`} or more`;
  const reckoned = upper > share ? `; ${percent(upper)} is reckoned with, as it is known from few` : '';
  return `${percent(share)} drying loss, learnt from ${count} weighed again ${after}${reckoned}`;
}

/** A sample may pass by its error limit although the mean is short: that is no pass for who packs. */
function passesUS({ passes, meanError }: SampleTest, label: Mass): string {
  if (!passes) return 'FAILS';
  if (meanError >= 0) return 'PASSES';
  const short = meanError > -5_000 ? 'less than 0.01 g' : grams2(-meanError);
  return `PASSES by the inspector's sample error limit only: the mean is ${short} BELOW the label of ${grams2(label)}, and a shipment's mean must not be (16 CFR 500.25)`;
}

const yes = (holds: boolean) => (holds ? 'holds' : 'DOES NOT HOLD');

/** The judgement as sentences, the verdicts first. */
export function judgementLines(judged: LotJudgement): string[] {
  const { label, drying, atSale, spread, uncertainty, packer, wholeLot, plan, us } = judged;
  const count = atSale.length;
  const s = spread === undefined ? '' : `, spread ${grams2(spread.s)}`;
  const mean = spread?.mean ?? atSale[0] ?? 0;
  const lines = [
    `Label ${grams2(label)}. ${count} ${count === 1 ? 'bar' : 'bars'}, every one weighed; at sale they will weigh ${grams2(Math.min(...atSale))} to ${grams2(Math.max(...atSale))}, mean ${grams2(mean)}${s} (${dryingInWords(drying)}; each ±${grams2(uncertainty)}).`,
  ];
  if (packer) {
    const { tolerable, short, twice } = packer;
    lines.push(
      `EU, packer's rules: ${packer.holds ? 'PASSES' : 'FAILS'}.`,
      `  1. Mean ${grams2(packer.mean.found)}, at least ${grams2(label)}: ${yes(packer.mean.holds)}.`,
      `  2. Short by more than the tolerable error of ${grams2(tolerable)} (below ${grams2(short.limit)}): ${short.found}, at most ${short.most}: ${yes(short.holds)}.`,
      `  3. Short by more than twice that (below ${grams2(twice.limit)}): ${twice.found}, none allowed: ${yes(twice.holds)}.`,
    );
    if (wholeLot) {
      lines.push(
        `  Inspector's test, the whole lot weighed: ${wholeLot.defective} defective, at most ${wholeLot.most}; mean ${grams2(wholeLot.mean)}, ${wholeLot.mean < label ? `BELOW the label of ${grams2(label)}` : 'not below the label'}: ${wholeLot.passes ? 'accepted' : 'REJECTED'}.`,
      );
    } else if (plan) {
      const [stage] = plan.stages;
      lines.push(
        `  An inspector would weigh ${stage?.sample} of them and accept with at most ${stage?.accept} defective (UK).`,
      );
    }
  } else lines.push('EU: the table of tolerable errors goes from 5 g to 10 kg; this label is outside it.');
  if (us) {
    const { meanError, errorLimit, plan: sampling, variation, over } = us;
    const limit = sampling.factor === null ? 'one bar alone has no mean' : `${sampling.factor} x ${grams2(us.s ?? 0)}`;
    lines.push(
      `US, Handbook 133 (a sample of ${sampling.sample} of bars like these): ${passesUS(us, label)}.`,
      `  Mean error ${grams2(meanError)} with the sample error limit ${grams2(errorLimit)} (${limit}) comes to ${grams2(meanError + errorLimit)}, not below 0: ${yes(us.average)}.`,
      `  Short by more than the maximum allowable variation of ${grams2(variation)}: ${over}, at most ${sampling.over}: ${yes(us.single)}.`,
    );
  } else lines.push('US: this label is outside our part of the table of variations.');
  if (judged.scaleForEU === false) {
    lines.push('The scale is not good enough for that: its error must be at most a fifth of the tolerable error.');
  }
  if (judged.scaleForUS === false) {
    lines.push('The scale is too coarse for that: its interval must be at most a sixth of the variation.');
  }
  lines.push(WHO_DECIDES);
  return lines;
}
