/**
 * `npm run crash`: the long form of killed.test.ts. Whole demo batches, each killed up to 30 times, until there were 300
 * kills in all (or as many as the first argument says); each batch has its own seed, from the second argument on.
 */
import { spawnSync } from 'node:child_process';

const wanted = Number(process.argv[2] ?? 300);
const first = Number(process.argv[3] ?? Date.now() % 1_000_000);
const PER_BATCH = 30;

let kills = 0;
let atWrites = 0;
let failed = 0;
let batches = 0;
while (kills < wanted && failed === 0) {
  const seed = first + batches;
  const { stdout, status } = spawnSync(
    'npx',
    ['vitest', 'run', '--config', 'test/vitest.config.ts', '--project', 'journeys', 'test/journeys/killed.test.ts'],
    {
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'inherit'],
      env: {
        ...process.env,
        FORMULA: 'cornflower-oat-bar',
        KILLS: String(Math.min(PER_BATCH, wanted - kills)),
        SEED: String(seed),
      },
      shell: process.platform === 'win32',
    },
  );
  const said = /killed (\d+) times, (\d+) of them at a write/.exec(stdout);
  batches += 1;
  kills += Number(said?.[1] ?? 0);
  atWrites += Number(said?.[2] ?? 0);
  if (status !== 0) {
    failed += 1;
    console.log(stdout);
  }
  console.log(
    `batch ${batches} (SEED=${seed}): ${status === 0 ? 'right' : 'WRONG'}; ${kills} kills so far, ${atWrites} of them at a write of the log`,
  );
}
console.log(`${kills} kills in ${batches} batches, ${atWrites} at a write of the log; ${failed} batches wrong`);
process.exitCode = failed > 0 ? 1 : 0;
