/** `bismar plan`. */
import { consideredJson, planJson } from '../plan/planJson.ts';
import { printPlan } from '../plan/printPlan.ts';
import { printWhy } from '../plan/printWhy.ts';
import { EXIT, type ExitCode } from './exit.ts';
import { loadWorkshop } from './folder.ts';
import { considerFor, plannedOrEnd, type SizeOptions } from './planning.ts';
import { planStockSolution } from './stock/planStock.ts';

export interface PlanOptions extends SizeOptions {
  readonly json?: boolean;
  /** Also every candidate of every draw, and why it was not taken. */
  readonly why?: boolean;
  /** A stock of this ingredient is worked out in place of a plan. */
  readonly stockSolution?: string;
  readonly carrier?: string;
  readonly goodFor?: string;
  readonly write?: boolean;
  readonly in: string;
}

export async function plan(formula: string | undefined, options: PlanOptions): Promise<ExitCode> {
  const { stockSolution } = options;
  if (stockSolution !== undefined) return planStockSolution(formula, { ...options, stockSolution });
  const { formula: read, result, considered } = considerFor(options.in, loadWorkshop(options.in), formula, options);
  if (options.why && !options.json)
    process.stdout.write(`${printWhy(considered, Math.max(process.stdout.columns ?? 80, 40))}\n\n`);
  const { plan: made } = plannedOrEnd(read, result);
  const json = () => ({ ...planJson(made), ...(options.why ? { considered: consideredJson(considered) } : {}) });
  const text = options.json ? JSON.stringify(json(), null, 2) : printPlan(made, process.stdout.columns);
  process.stdout.write(`${text}\n`);
  return EXIT.done;
}
