/** Pairs of pseudo-terminals for tests of the real serial path. */
import { spawnSync } from 'node:child_process';

export { type Pair, startPair } from '../src/link/startPair.ts';

/** Whether `socat` is there; tests that need it say so in their title and are skipped otherwise. */
export const hasSocat = spawnSync('socat', ['-V']).status === 0;
