/**
 * `npm run fuzz`: a million fuzzed lines through every wire profile, and a tenth of that as bytes. FUZZ_LINES sets
 * another count, SEED repeats a run.
 */
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { FUZZED, fuzzBytes, fuzzLines } from './fuzzing.ts';

const count = Number(process.env.FUZZ_LINES ?? 1_000_000);
const seed = Number(process.env.SEED ?? Math.floor(Math.random() * 2 ** 32));
console.log(`seed ${seed} (SEED=${seed} repeats it)`);
const lines = fuzzLines(count, seededRandom(seed));
const bytes = fuzzBytes(Math.ceil(count / 10), seededRandom(seed + 1));
console.log(
  `${lines.lines} lines through each of ${FUZZED.length} profiles: no exception, ${lines.readings} taken as weights; as bytes ${bytes.lines} each, ${bytes.readings} weights.`,
);
const objections = [...lines.objections, ...bytes.objections];
for (const each of objections) console.error(`not allowed: ${each}`);
if (objections.length === 0) console.log('None that the profile does not allow.');
process.exitCode = objections.length === 0 ? 0 : 1;
