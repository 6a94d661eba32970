/** `bismar formula check`: looks a formula over. All that is wrong with it is told at once. */
import { formulaNotes } from '../../formula/formulaNotes.ts';
import { makePlan } from '../../plan/plan.ts';
import { printRefusals } from '../../plan/printPlan.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { stamp } from '../../records/stamp.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadFormula, loadWorkshop } from '../folder.ts';

const LEAST_WIDTH = 80;

/** @param name a formula of the workshop, or a path to its file */
export async function formulaCheck(name: string, options: { readonly in: string }): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const formula = loadFormula(options.in, name, workshop);
  const draws = formula.phases.flatMap(({ work }) => work.filter(({ kind }) => kind === 'draw')).length;
  const count = (n: number, one: string) => `${n} ${n === 1 ? one : `${one}s`}`;
  const width = Math.max(process.stdout.columns ?? LEAST_WIDTH, LEAST_WIDTH);
  const lines = [
    `${formula.name}, version ${formula.version}: ${count(draws, 'weighing')} in ${count(formula.phases.length, 'phase')}. The shares come to exactly 100 %${levelsKept(formula.limits?.length ?? 0)}.`,
    ...formulaNotes(formula, workshop),
  ];
  process.stdout.write(`${lines.flatMap((line) => wrapText(line, '', width)).join('\n')}\n`);
  if (formula.bars === undefined && formula.batch === undefined) return EXIT.done;
  const planned = makePlan(workshop, formula, undefined, stamp(new Date()).slice(0, 10));
  if (!planned.ok) throw new Ending(EXIT.failed, printRefusals(formula, planned.refusals, process.stdout.columns));
  process.stdout.write('Its usual batch can be weighed.\n');
  return EXIT.done;
}

function levelsKept(levels: number): string {
  if (levels === 0) return ', and it states no highest levels';
  return levels === 1 ? ', and its highest level is kept' : `, and its ${levels} highest levels are kept`;
}
