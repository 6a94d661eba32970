/** How many of many made-up scales are learnt rightly. */
import { type Taught, teach } from './teaching.ts';

export interface Share {
  readonly count: number;
  readonly right: number;
  /** Learnt, and yet one fresh line gave a wrong weight, unit or rest. */
  readonly wrong: number;
  readonly refusesSome: number;
  readonly notLearnt: number;
  readonly questions: number;
  /** Of the rightly learnt scales that say whether they are at rest: how many are taken at their word. */
  readonly rest: { readonly of: number; readonly used: number };
  readonly rhythm: number;
  /** Each that was not right, with its seed, for whoever mends the learner. */
  readonly faults: readonly string[];
}

export function teachMany(seed: number, count: number): Share {
  const verdicts: Record<Taught['verdict'], number> = { right: 0, wrong: 0, 'refuses some': 0, 'not learnt': 0 };
  const faults: string[] = [];
  const rest = { of: 0, used: 0 };
  let questions = 0;
  let rhythm = 0;
  for (let index = 0; index < count; index++) {
    const number = seed * 100_003 + index;
    const taught = teach(number);
    const { verdict, format, learnt } = taught;
    verdicts[verdict] += 1;
    questions += taught.questions;
    if (learnt.ok && learnt.profile.rhythm === format.rhythm) rhythm += 1;
    if (verdict !== 'right') faults.push(fault(number, taught));
    else if (format.rest !== 'none') {
      rest.of += 1;
      if (taught.hasRest) rest.used += 1;
    }
  }
  return {
    count,
    right: verdicts.right,
    wrong: verdicts.wrong,
    refusesSome: verdicts['refuses some'],
    notLearnt: verdicts['not learnt'],
    questions: questions / count,
    rest,
    rhythm,
    faults,
  };
}

function fault(number: number, { verdict, because, format, learnt }: Taught): string {
  const pattern = learnt.ok ? learnt.profile.pattern.source : '';
  return `${number} ${verdict}: ${format.says} ${format.packing.says} ${format.rhythm} ${format.rest}\n    ${because}\n    ${pattern}`;
}

export function summary(share: Share): string[] {
  const percent = (part: number, of = share.count): string => `${((100 * part) / of).toFixed(2)} %`;
  return [
    `${share.count} made-up scales, ${share.questions.toFixed(1)} questions each`,
    `learnt rightly: ${share.right} (${percent(share.right)})`,
    `wrong but confident: ${share.wrong}`,
    `learnt, but some lines are refused: ${share.refusesSome} (${percent(share.refusesSome)})`,
    `not learnt: ${share.notLearnt} (${percent(share.notLearnt)})`,
    `own word on rest used: ${percent(share.rest.used, share.rest.of)} of those that have one`,
    `rhythm found: ${percent(share.rhythm)}`,
  ];
}
