#!/usr/bin/env node
/**
 * The program's first file. It must run on any Node of the last years, so that too old a Node gets a sentence and
 * not a stack trace: nothing newer is imported before the check.
 */
import module from 'node:module';
import { fileURLToPath } from 'node:url';

const OLDEST = 24;
const major = Number(process.versions.node.split('.')[0]);
if (major < OLDEST) {
  console.error(
    `bismar needs Node.js ${OLDEST} or newer, and this is ${process.versions.node}; in the project's folder "npm start" and "npx bismar" bring the right one.`,
  );
  process.exit(2);
}
// What is written holds names, formulas and prices: it is for the owner alone until she says otherwise.
process.umask(0o077);
// Node keeps what it has compiled, and the next start is a little shorter (4 % for the help, 8 % with the screen,
// measured). It lies beside the program and not in a folder that all users share: whoever can change it can change the
// program as well.
module.enableCompileCache(fileURLToPath(new URL('./compiled', import.meta.url)));
const words = process.argv.slice(2);
// Asked only for its number, nothing else is loaded.
const isNumberAsked = words.length === 1 && (words[0] === '--version' || words[0] === '-V');
const started = isNumberAsked
  ? import('./version.ts').then(({ version }) => console.log(version()))
  : import('./main.ts').then(({ main }) => main(words));
started.catch((error: unknown) => {
  console.error(error);
  process.exitCode = 1;
});
