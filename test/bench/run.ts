/**
 * Measures the built program and prints each figure beside what it can be compared with, measured in turn in the same
 * run: a busy machine slows both. `--json FILE` also writes them as `name: {value, unit, beside, ratio}`.
 * `--only NAME` (wire, load, decode, start, commit, uncertainty, pour, stock, teach, history) measures a part.
 */
import { existsSync, writeFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { hasSocat } from '../pairs.ts';
import { firstWeight, versionStart } from './coldStart.ts';
import { commits } from './commits.ts';
import { decoding } from './decoding.ts';
import { type Figures, figuresJson, printTable } from './figures.ts';
import { historyFigures } from './history.ts';
import { load } from './load.ts';
import { pours } from './pour.ts';
import { stockFigures } from './stock.ts';
import { teaching } from './teach.ts';
import { uncertainty } from './uncertainty.ts';
import { wireToScreen } from './wireToScreen.ts';

const program = fileURLToPath(new URL('../../dist/bismar.js', import.meta.url));
const noPair = hasSocat ? undefined : 'the program "socat" is not installed, so there is no pair of serial ports';

const PARTS: Readonly<Record<string, () => Figures | Promise<Figures>>> = {
  wire: () => wireToScreen(program, noPair),
  load: () => load(program, noPair),
  decode: decoding,
  start: async () => ({ ...(await firstWeight(program, noPair)), ...(await versionStart(program)) }),
  commit: commits,
  uncertainty: () => uncertainty(),
  pour: () => pours(),
  stock: stockFigures,
  teach: teaching,
  history: historyFigures,
};

const { values } = parseArgs({ options: { json: { type: 'string' }, only: { type: 'string' } } });
if (!existsSync(program)) {
  console.error('There is no built program yet: run "npm run build" first.');
  process.exit(2);
}
if (values.only !== undefined && !(values.only in PARTS)) {
  console.error(`--only wants one of ${Object.keys(PARTS).join(', ')}.`);
  process.exit(2);
}

/** How busy the machine was in the last minute: figures of a busy one are for comparing within the run only. */
const busy = (): string => `load ${(loadavg()[0] ?? 0).toFixed(1)} on ${availableParallelism()} processors`;

console.log(`Node ${process.versions.node}, ${process.platform}; before: ${busy()}`);
let figures: Figures = {};
for (const [name, measure] of Object.entries(PARTS)) {
  if (values.only !== undefined && values.only !== name) continue;
  console.error(`measuring: ${name} ...`);
  figures = { ...figures, ...(await measure()) };
}
console.log(`after: ${busy()}\n\n${printTable(figures)}`);
if (values.json !== undefined) writeFileSync(values.json, figuresJson(figures));
