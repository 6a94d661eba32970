/** A workshop with one scale and an open batch that waits for its first vessel. */
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readFormula } from '../../src/formula/readFormula.ts';
import { makePlan } from '../../src/plan/plan.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

/** The vessel of the first draw, in grams. */
export const BOWL_G = 912;
/** The first draw's target, in grams. */
export const TARGET_G = 1800;
const DAY = '2026-11-25';

const workshopText = (port: string, finePort: string | undefined) => `
name: Measured bench
operators: [Mira Tolland]
scales:
  bench: { capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, port: "${port}", profile: status-first }
${finePort === undefined ? '' : `  fine: { capacity: 300 g, d: 0.01 g, repeatability: 0.004 g, port: "${finePort}", profile: status-first }`}
vessels:
  cup: { name: Cup, tare: 31.46 g, usable: 25 ml }
  bowl: { name: Mixing bowl, tare: ${BOWL_G} g, usable: 4800 ml }
ingredients:
  water: { name: Purified water, inci: Aqua, density: 1.00 g/ml, lots: { W-1: { on hand: 9 kg, expires: 2099-01-01 } } }
  glycerin: { name: Glycerin, inci: Glycerin, density: 1.26 g/ml, lots: { G-1: { on hand: 9 kg, expires: 2099-01-01 } } }
  dye: { name: Blue dye, inci: CI 42090, density: 0.70 g/ml, lots: { D-1: { on hand: 1 kg, expires: 2099-01-01 } } }
`;

const formulaText = (withFine: boolean) => `
name: Practice mix
version: 1
batch: ${TARGET_G / 0.6} g
phases:
  - phase: A
    name: Liquids
    vessel: bowl
    work:
      - { draw: water, share: 60 %, band: 1 % }
      - { draw: glycerin, share: ${withFine ? '39.9' : '40'} %, band: 1 % }
${withFine ? '      - { draw: dye, share: 0.1 %, band: 5 %, way: cup, scale: fine }' : ''}
`;

export interface BenchWorkshop {
  readonly folder: string;
  remove(): void;
}

/** @param port where the scale is plugged in @param finePort where a second one is; none by default */
export async function makeBenchWorkshop(port: string, finePort?: string): Promise<BenchWorkshop> {
  const folder = mkdtempSync(join(tmpdir(), 'bismar-bench-'));
  const text = workshopText(port, finePort);
  const formulaLines = formulaText(finePort !== undefined);
  mkdirSync(join(folder, 'formulas'));
  writeFileSync(join(folder, 'workshop.yaml'), text);
  writeFileSync(join(folder, 'formulas', 'practice-mix.yaml'), formulaLines);
  const workshop = readWorkshop('workshop.yaml', text);
  if (!workshop.ok) throw new Error(printProblems(workshop.problems));
  const formula = readFormula('practice-mix.yaml', formulaLines, workshop.workshop);
  if (!formula.ok) throw new Error(printProblems(formula.problems));
  const plan = makePlan(workshop.workshop, formula.formula, undefined, DAY);
  if (!plan.ok) throw new Error(plan.refusals.map(({ why }) => why).join('\n'));
  const log = openLog(join(folder, LOG_FILE));
  await log.append(`${DAY}-1`, 'Mira Tolland', [{ kind: 'batch-started', plan: plan.plan }, { kind: 'gathered' }]);
  log.close();
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
