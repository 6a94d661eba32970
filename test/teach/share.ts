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
  const all = Array.from({ length: count }, (_, index) => ({
    seed: seed * 100_003 + index,
    ...teach(seed * 100_003 + index),
  }));
  const withVerdict = (verdict: Taught['verdict']): number => all.filter((each) => each.verdict === verdict).length;
  const withRest = all.filter(({ verdict, format }) => verdict === 'right' && format.rest !== 'none');
  return {
    count,
    right: withVerdict('right'),
    wrong: withVerdict('wrong'),
    refusesSome: withVerdict('refuses some'),
    notLearnt: withVerdict('not learnt'),
    questions: all.reduce((sum, each) => sum + each.questions, 0) / count,
    rest: { of: withRest.length, used: withRest.filter((each) => each.hasRest).length },
    rhythm: all.filter(({ learnt, format }) => learnt.ok && learnt.profile.rhythm === format.rhythm).length,
    faults: all
      .filter(({ verdict }) => verdict !== 'right')
      .map(
        ({ seed: of, verdict, because, format, learnt }) =>
          `${of} ${verdict}: ${format.says} ${format.packing.says} ${format.rhythm} ${format.rest}\n    ${because}\n    ${learnt.ok ? /^pattern:.*$(?:\n {2}.*$)*/m.exec(learnt.yaml)?.[0] : ''}`,
      ),
  };
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
