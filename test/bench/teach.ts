/** How many made-up scales are learnt rightly, and whether any is learnt wrongly and believed. A fresh seed each run. */
import { teachMany } from '../teach/share.ts';
import { type Figures, figure } from './figures.ts';

const FORMATS = 300;

export function teaching(): Figures {
  const seed = Number(process.env.SEED ?? Math.floor(Math.random() * 2 ** 32));
  const share = teachMany(seed, FORMATS);
  return {
    formats_learnt_percent: figure(
      `of ${FORMATS} made-up scales, those of which every fresh line is read rightly after teaching (seed ${seed}), beside the least that is wanted`,
      '%',
      (100 * share.right) / share.count,
      95,
    ),
    formats_wrong_but_confident: figure(
      'made-up scales that were learnt, and yet a fresh line gave a wrong weight, unit or rest; beside all taught',
      'scales',
      share.wrong,
      share.count,
    ),
  };
}
