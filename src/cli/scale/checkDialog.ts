/** The daily check of one scale, step by step: the empty pan, the check weights, a series, the corners if wished. */
import { type CheckedScale, type CheckLimits, cornerWeight } from '../../accept/checkLimits.ts';
import type { CheckWeight } from '../../accept/checkWeights.ts';
import { type CheckRow, errorOf, isWithin, judgeCheck, spreadOf } from '../../accept/scaleCheck.ts';
import { smallestWeight } from '../../accept/uncertainty.ts';
import type { Happened } from '../../facts/fact.ts';
import { type Mass, ZERO } from '../../mass/mass.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { CheckPan } from './checkPan.ts';

export interface CheckDialogInput {
  readonly scale: CheckedScale & { readonly id: string; readonly repeatability: Mass | undefined };
  readonly pan: CheckPan;
  readonly limits: CheckLimits;
  /** At least one, from light to heavy. */
  readonly weights: readonly [CheckWeight, ...CheckWeight[]];
  /** Weighings of the series. */
  readonly series: number;
  readonly corners: boolean;
  readonly say: (line: string) => void;
}

/** From so many weighings on, the repeatability may be judged by USP general chapter 41. */
const USP_SERIES = 10;
const CORNERS = ['left front', 'right front', 'right back', 'left back'] as const;

/** Runs the check. @returns the fact; throws `Left` when the maker leaves */
export async function checkDialog(input: CheckDialogInput): Promise<Extract<Happened, { kind: 'scale-checked' }>> {
  const { scale, pan, limits, weights, series, corners, say } = input;
  const grams = (of: Mass, plus = false) => `${printMass(of, { decimals: decimalsOf(scale.d), plus })} g`;
  const plain = (of: Mass) => `${printMass(of, { decimals: decimalsOf(of) })} g`;
  const rows: CheckRow[] = [];
  const put = (row: CheckRow): void => {
    rows.push(row);
    const { kind, nominal, shown, permissible } = row;
    const what = kind === 'zero' ? 'empty' : plain(nominal);
    const error = `${what}: shows ${grams(shown)}, off by ${grams(errorOf(row), true)}`;
    if (kind === 'repeat') say(`  ${error}`);
    else say(`  ${error}; may be ${plain(permissible)} off: ${isWithin(row) ? 'good' : 'TOO FAR OFF'}`);
  };
  const zero = async (prompt: string, within?: Mass): Promise<void> => {
    put({ kind: 'zero', nominal: ZERO, shown: await pan.empty(prompt, within), permissible: limits.at(ZERO) });
  };
  const weigh = async (kind: CheckRow['kind'], prompt: string, { nominal }: CheckWeight): Promise<void> => {
    put({ kind, nominal, shown: await pan.loaded(prompt, nominal), permissible: limits.at(nominal) });
  };

  say(`The ${scale.id} scale. It is judged by ${limits.basis}.`);
  // Common practice, no source.
  say('Has it been switched on for 15 to 30 minutes? Does it stand level on a firm table, out of draughts and sun?');
  say('Enter goes on, q leaves at any time.');
  await pan.enter();

  await zero('Take everything off the pan.', limits.at(ZERO));
  for (const weight of weights) {
    await weigh('weight', `Put the ${plain(weight.nominal)} weight in the middle of the pan.`, weight);
    await zero('Take it off.');
  }

  const heaviest = weights.at(-1) ?? weights[0];
  say(`Now the ${plain(heaviest.nominal)} weight ${series} times, each time on and off again.`);
  for (let turn = 1; turn <= series; turn++) {
    await weigh('repeat', `${turn} of ${series}: on.`, heaviest);
    await pan.empty('Off.');
  }
  const [{ permissible }] = [rows.findLast(({ kind }) => kind === 'repeat') ?? { permissible: ZERO }];
  const spread = spreadOf(rows);
  say(`  spread ${grams(spread)}; may be ${plain(permissible)}: ${spread <= permissible ? 'good' : 'TOO WIDE'}`);

  const third = corners ? cornerWeight(weights, scale) : undefined;
  if (third) {
    for (const corner of CORNERS) {
      await weigh('corner', `Put the ${plain(third.nominal)} weight half-way to the ${corner} corner.`, third);
      await pan.empty('Take it off.');
    }
  }

  const judgement = judgeCheck(rows, weights, scale.d);
  sayResult(input, judgement, plain);
  const used = weights.map(({ nominal, weightClass }) => `${plain(nominal)} ${weightClass}`).join(', ');
  return {
    kind: 'scale-checked',
    scale: scale.id,
    basis: `Judged by ${limits.basis}; with ${used} (OIML R 111-1).`,
    rows,
    ...judgement,
  };
}

function sayResult(
  { scale, series, say }: CheckDialogInput,
  { passed, repeatability, slopePpm }: ReturnType<typeof judgeCheck>,
  plain: (of: Mass) => string,
): void {
  say(`The ${scale.id} scale: ${passed ? 'PASSED' : 'FAILED'}.`);
  if (repeatability !== null) {
    const stated = scale.repeatability === undefined ? '' : ` (stated: ${plain(scale.repeatability)})`;
    say(
      `  Repeatability ${printMass(repeatability, { decimals: decimalsOf(scale.d) + 1, rounding: 'up' })} g${stated}.`,
    );
    if (series >= USP_SERIES) {
      const least = smallestWeight({ d: scale.d, repeatability }, 0.001);
      say(`  Smallest net weight at 0.10 %, by USP 41: ${printMass(least, { decimals: decimalsOf(scale.d) })} g.`);
    }
  }
  if (slopePpm !== null)
    say(`  Errors of up to ${slopePpm} millionths of a load stay possible; later weights count that in.`);
  if (passed) return;
  say('  Is the pan clean and free, the scale level and warm? Put that right and check again; else have it adjusted.');
  say('  Weighing is not forbidden. The record of each batch says that this check failed.');
}
