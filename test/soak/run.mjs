/**
 * `npm run soak`: a day of the bench's time, compressed: batch after batch on the screen in one process, one of
 * them left open for hours. Prints how it stands after each batch, and all figures at the end; fails when memory grows by more
 * than 5 MB after warm-up, when something is left over, or when readings take longer and longer.
 */
import { spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const bundle = fileURLToPath(new URL('../../dist/soak/day.mjs', import.meta.url));
await build({
  entryPoints: [fileURLToPath(new URL('day.ts', import.meta.url))],
  outfile: bundle,
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  jsx: 'automatic',
  logLevel: 'warning',
});
const child = spawn(process.execPath, [bundle, ...process.argv.slice(2)], {
  stdio: 'inherit',
  env: { ...process.env, NODE_ENV: 'production', CI: 'false' },
});
child.on('exit', (code) => {
  process.exitCode = code ?? 1;
});
