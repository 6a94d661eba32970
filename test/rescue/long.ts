/** The long form of the search for a rescue that the planner misses: `npm run rescues [RUNS]`. */
import { spawnSync } from 'node:child_process';

const runs = process.argv[2] ?? '5000';
const vitest = ['node_modules/vitest/vitest.mjs', 'run', '--config', 'test/vitest.config.ts', '--testTimeout', '0'];
const { status } = spawnSync(process.execPath, [...vitest, 'test/rescue/naive.test.ts'], {
  stdio: 'inherit',
  env: { ...process.env, RESCUE_RUNS: runs },
});
process.exitCode = status ?? 1;
