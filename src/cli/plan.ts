/** `bismar plan`. */
import { planJson } from '../plan/planJson.ts';
import { printPlan } from '../plan/printPlan.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { loadWorkshop } from './folder.ts';
import { planFor, type SizeOptions } from './planning.ts';

export async function plan(
  formula: string | undefined,
  options: SizeOptions & { readonly json?: boolean; readonly in: string },
): Promise<ExitCode> {
  const planned = planFor(options.in, loadWorkshop(options.in), formula, options);
  const text = options.json
    ? JSON.stringify(planJson(planned.plan), null, 2)
    : printPlan(planned.plan, process.stdout.columns);
  process.stdout.write(`${text}\n`);
  return EXIT.done;
}
