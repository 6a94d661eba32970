// Bundles the program into dist/: our own code in a few chunks that load on demand, libraries left in node_modules.
import { chmod, rm } from 'node:fs/promises';
import { build } from 'esbuild';

const outdir = new URL('../dist/', import.meta.url).pathname;
await rm(outdir, { recursive: true, force: true });
await build({
  entryPoints: { bismar: new URL('./cli/launch.ts', import.meta.url).pathname },
  outdir,
  bundle: true,
  splitting: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'es2022',
  jsx: 'automatic',
  sourcemap: 'linked',
  sourcesContent: false,
  banner: { js: '' },
  logLevel: 'warning',
});
await chmod(new URL('../dist/bismar.js', import.meta.url), 0o755);
