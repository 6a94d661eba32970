/** The workshops of the fixtures folder, read as the program reads them. */
import { readFileSync } from 'node:fs';
import type { Formula } from '../../src/formula/model.ts';
import { readFormula } from '../../src/formula/readFormula.ts';
import type { BatchSize } from '../../src/plan/batchSize.ts';
import type { Plan, PlannedDraw, Refusal } from '../../src/plan/model.ts';
import { makePlan } from '../../src/plan/plan.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

/** The day that the fixtures' lots are written for. */
export const BATCH_DAY = '2026-11-25';

export function fixture(path: string): string {
  return readFileSync(new URL(`../../fixtures/${path}`, import.meta.url), 'utf8');
}

export function workshopFrom(text: string): Workshop {
  const read = readWorkshop('workshop.yaml', text);
  if (!read.ok) throw new Error(printProblems(read.problems));
  return read.workshop;
}

export function formulaFrom(text: string, workshop: Workshop): Formula {
  const read = readFormula('formula.yaml', text, workshop);
  if (!read.ok) throw new Error(printProblems(read.problems));
  return read.formula;
}

export const demoText = fixture('demo/workshop.yaml');
export const demoFormulaText = fixture('demo/formulas/cornflower-oat-bar.yaml');
export const demo = workshopFrom(demoText);
export const demoFormula = formulaFrom(demoFormulaText, demo);

export function planOf(workshop: Workshop, formula: Formula, size?: BatchSize, today = BATCH_DAY): Plan {
  const result = makePlan(workshop, formula, size, today);
  if (!result.ok) throw new Error(result.refusals.map(({ why }) => why).join('\n'));
  return result.plan;
}

export function refusalsOf(
  workshop: Workshop,
  formula: Formula,
  size?: BatchSize,
  today = BATCH_DAY,
): readonly Refusal[] {
  const result = makePlan(workshop, formula, size, today);
  if (result.ok) throw new Error('expected the plan to be refused');
  return result.refusals;
}

export function drawsOf({ tasks }: Plan): PlannedDraw[] {
  return tasks.filter((task) => task.kind === 'draw');
}

export function drawOf(plan: Plan, ingredient: string): PlannedDraw {
  const draw = drawsOf(plan).find((each) => each.ingredient === ingredient);
  if (!draw) throw new Error(`no draw of ${ingredient}`);
  return draw;
}

/** A small workshop and formula of our own making for one trouble at a time; parts are replaced as needed. */
export function smallWorkshop(
  changes: { bowl?: string; lots?: string; jar?: string; cup?: string; density?: string } = {},
) {
  return workshopFrom(`
name: Small
operators: [Someone]
scales:
  bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}
  fine: {capacity: 200 g, d: 0.01 g, repeatability: 0.004 g, keyed: yes}
vessels:
  bowl: {name: Bowl, ${changes.bowl ?? 'tare: 900 g, usable: 4 l'}}
  ${changes.cup ?? 'cup: {name: Cup, tare: 30 g, usable: 25 ml}'}
  ${changes.jar ?? 'jar: {name: Jar, tare: 40 g}'}
ingredients:
  base: {name: Base, inci: Base, density: 1.00 g/ml, lots: {B-1: {on hand: 100 kg}}}
  dye:
    name: Dye
    inci: CI 1
    ${changes.density ?? 'density: 0.50 g/ml'}
    lots: ${changes.lots ?? '{D-1: {on hand: 25 g, jar: jar}}'}
`);
}

/** `base` makes up what the dye leaves. */
export function smallFormula(workshop: Workshop, dyePercent: number, dyeKeys: string, batch = '1 kg'): Formula {
  return formulaFrom(
    `
name: Small
version: 1
batch: ${batch}
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
      - {draw: base, share: ${(100 - dyePercent).toFixed(4)} %, band: 5 %}
      - {draw: dye, share: ${dyePercent} %, ${dyeKeys}}
`,
    workshop,
  );
}
