// Bundles the program into dist/ (or the folder given): our own code in a few chunks that load on demand, libraries
// left in node_modules.
import { execFileSync } from 'node:child_process';
import { chmod, rm, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const outdir = resolve(process.argv[2] ?? fileURLToPath(new URL('../dist/', import.meta.url)));
// Retried: a program that ends just now may be writing what it has compiled (see launch.ts).
await rm(outdir, { recursive: true, force: true, maxRetries: 3 });
await build({
  entryPoints: { bismar: fileURLToPath(new URL('./cli/launch.ts', import.meta.url)) },
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
await chmod(join(outdir, 'bismar.js'), 0o755);
// The manual page, from the definitions of the commands. It needs the Node that the program needs.
if (Number(process.versions.node.split('.')[0]) >= 24) {
  const page = execFileSync(process.execPath, [join(outdir, 'bismar.js'), 'manual']);
  await writeFile(join(outdir, 'bismar.1'), page);
}
