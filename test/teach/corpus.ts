/**
 * `npm run teach-corpus`: 2,000 made-up scales are taught, and what was learnt is judged by fresh lines. SEED
 * repeats a run, BISMAR_FORMATS sets another count, BISMAR_SHOW=yes tells of each that was not learnt rightly.
 */
import { summary, teachMany } from './share.ts';

const count = Number(process.env.BISMAR_FORMATS ?? 2_000);
const seed = Number(process.env.SEED ?? Math.floor(Math.random() * 2 ** 32));
console.log(`seed ${seed} (SEED=${seed} repeats it)`);
const share = teachMany(seed, count);
for (const line of summary(share)) console.log(line);
if (process.env.BISMAR_SHOW) for (const each of share.faults) console.log(each);
process.exitCode = share.wrong === 0 && share.right >= 0.95 * count ? 0 : 1;
