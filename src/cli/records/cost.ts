/** `bismar cost`: what a batch has cost in material, or what a formula would. */
import { cleanText } from '../../facts/cleanText.ts';
import { costOfRecord } from '../../records/record/recordCost.ts';
import { safeJson } from '../../records/safeJson.ts';
import { type Cost, type CostLine, costData, costInWords, hasPrices, plannedCost } from '../../stock/cost.ts';
import { grams } from '../../stock/lotLine.ts';
import { printMoney } from '../../stock/money.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { formulaIds, loadWorkshop } from '../folder.ts';
import { planFor, type SizeOptions } from '../planning.ts';
import { type BenchesOption, batchAsked, readingLog } from '../shared/benchesAsked.ts';
import { recordOf } from './recordPage.ts';

export interface CostOptions extends SizeOptions, BenchesOption {
  readonly json?: boolean | undefined;
}

/** @param of a formula's id, or a batch as `bismar record` takes it; the newest batch when left out */
export async function cost(of: string | undefined, options: CostOptions): Promise<ExitCode> {
  const isFormula = of !== undefined && formulaIds(options.in).includes(of);
  const { title, cost: found } = isFormula ? ofFormula(of, options) : await ofBatch(of, options);
  if (options.json) {
    process.stdout.write(`${safeJson({ of: title, ...costData(found) }, 2)}\n`);
    return EXIT.done;
  }
  if (!hasPrices(found)) {
    throw new Ending(EXIT.failed, `No price is known of any lot in ${title}. Prices go with lots: price per kg.`);
  }
  const lines = [title, '', ...found.lines.map(line), '', costInWords(found)];
  process.stdout.write(`${lines.map(cleanText).join('\n')}\n`);
  return EXIT.done;
}

interface Titled {
  readonly title: string;
  readonly cost: Cost;
}

function ofFormula(id: string, options: CostOptions): Titled {
  const { plan } = planFor(options.in, loadWorkshop(options.in), id, options);
  return { title: `${plan.formula.name}, version ${plan.formula.version}, as planned`, cost: plannedCost(plan) };
}

function ofBatch(wanted: string | undefined, options: CostOptions): Promise<Titled> {
  return readingLog(options, (log) => {
    const record = recordOf(log, batchAsked(log, wanted));
    const { plan, batch, status } = record;
    return { title: `Batch ${batch}, ${plan.formula.name}, ${status}`, cost: costOfRecord(record) };
  });
}

function line({ name, lot, taken, pricePerKg, cost: of, wasteCost }: CostLine): string {
  const price = pricePerKg === null ? 'no price' : printMoney(of);
  const waste = wasteCost === 0n ? '' : `  (${printMoney(wasteCost)} of it waste)`;
  return `${name.slice(0, 26).padEnd(27)}${lot.padEnd(12)} ${grams(taken).padStart(14)} ${price.padStart(10)}${waste}`;
}
