// Bundles the program into dist/ (or the folder given), with the libraries that are plain JavaScript, in chunks that load
// on demand. From node_modules the same start took 888 files in place of 166 (415 of them for two functions that ink uses),
// and with that most of its time.
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { chmod, rm, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const outdir = resolve(process.argv[2] ?? fileURLToPath(new URL('../dist/', import.meta.url)));
// Retried: a program that ends just now may be writing what it has compiled (see launch.ts).
await rm(outdir, { recursive: true, force: true, maxRetries: 3 });
const { metafile } = await build({
  entryPoints: { bismar: fileURLToPath(new URL('./cli/launch.ts', import.meta.url)) },
  outdir,
  bundle: true,
  splitting: true,
  // What holds native code, or finds files beside itself; and what only a developer of ink has.
  external: ['serialport', '@serialport/*', 'node-hid', 'pg', 'pgpass', 'react-devtools-core'],
  // Libraries written for require() ask it for what is in Node itself.
  banner: {
    js: "import { createRequire as makeRequire } from 'node:module';\nconst require = makeRequire(import.meta.url);",
  },
  // React's form for developers is slow and keeps what it has measured.
  define: { 'process.env.NODE_ENV': '"production"' },
  metafile: true,
  platform: 'node',
  format: 'esm',
  target: 'es2022',
  jsx: 'automatic',
  sourcemap: 'linked',
  sourcesContent: false,
  logLevel: 'warning',
  plugins: [{ name: 'quick', setup: putQuickOnes }],
});
await chmod(join(outdir, 'bismar.js'), 0o755);
await writeFile(join(outdir, 'licences.txt'), licences(Object.keys(metafile.inputs)));
// The manual page, from the definitions of the commands. It needs the Node that the program needs.
if (Number(process.versions.node.split('.')[0]) >= 24) {
  const page = execFileSync(process.execPath, [join(outdir, 'bismar.js'), 'manual']);
  await writeFile(join(outdir, 'bismar.1'), page);
}

/** Stands before libraries that ink asks the same for every frame; what stands there asks the libraries themselves. */
function putQuickOnes(builder) {
  const quick = {
    'string-width': fileURLToPath(new URL('./screen/quick/width.ts', import.meta.url)),
    '@alcalzone/ansi-tokenize': fileURLToPath(new URL('./screen/quick/tokens.ts', import.meta.url)),
  };
  builder.onResolve({ filter: /^(?:string-width|@alcalzone\/ansi-tokenize)$/ }, ({ path, importer }) =>
    importer === quick[path] ? undefined : { path: quick[path] },
  );
}

/** The licences of all packages that files were bundled from: each wants to go with its copies. */
function licences(files) {
  const folders = files.flatMap((file) => /^.*node_modules\/(?:@[^/]+\/)?[^/]+/.exec(file)?.[0] ?? []);
  return [...new Set(folders)]
    .sort()
    .map((folder) => {
      const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
      const texts = readdirSync(folder)
        .filter((file) => /^(licen[cs]e|notice)/i.test(file))
        .map((file) => readFileSync(join(folder, file), 'utf8').trim());
      return [`${name} ${version}: ${license}`, ...texts].join('\n\n');
    })
    .join('\n\n----------\n\n');
}
