/** `bismar plan FORMULA --stock-solution INGREDIENT`: a stock for an amount that no scale can weigh. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { printPercent } from '../../formula/checkFormula.ts';
import type { Formula } from '../../formula/model.ts';
import { readFormula } from '../../formula/readFormula.ts';
import { grams } from '../../plan/inWords.ts';
import { planStock, type StockPlan } from '../../plan/planStock.ts';
import { makingText, usingText, workshopText } from '../../plan/stockFiles.ts';
import { stamp } from '../../records/stamp.ts';
import { nearest } from '../../workshop/nearest.ts';
import { readWorkshop } from '../../workshop/readWorkshop.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { formulaFileOf, loadFormula, loadWorkshop, readText, WORKSHOP_FILE } from '../folder.ts';
import { writeNew } from '../formula/formulaFile.ts';
import { ingredientsOf, onlyFormula, type SizeOptions, sizeFrom } from '../planning.ts';
import { writeWhole } from '../scale/scaleTeachFile.ts';
import { hint } from '../weigh/hint.ts';
import { stockedNow } from './stockNow.ts';

export interface StockSolutionOptions extends SizeOptions {
  readonly stockSolution: string;
  readonly carrier?: string | undefined;
  /** Days that the stock may be used, the day of its making included; as text. */
  readonly goodFor?: string | undefined;
  /** Write the files; else it is only told. */
  readonly write?: boolean | undefined;
  readonly in: string;
}

const print = (line: string) => void process.stdout.write(`${line}\n`);

function daysFrom(text: string | undefined): number {
  // A stock in water that nothing preserves is not kept overnight: longer is for the maker to say.
  if (text === undefined) return 1;
  const days = Number(text);
  if (!/^\d{1,4}$/.test(text) || days === 0) {
    throw new Ending(EXIT.wrongUse, '--good-for wants a number of days, such as --good-for 30.');
  }
  return days;
}

/** Tells a stock solution, and writes its files where that is asked for. */
export async function planStockSolution(name: string | undefined, options: StockSolutionOptions): Promise<ExitCode> {
  const folder = options.in;
  const days = daysFrom(options.goodFor);
  const workshop = loadWorkshop(folder);
  const id = name ?? onlyFormula(folder);
  const formula = loadFormula(folder, id, workshop);
  for (const wanted of [options.stockSolution, options.carrier]) {
    if (wanted !== undefined && !workshop.ingredients.has(wanted)) unknown(wanted, workshop.ingredients.keys());
  }
  const now = stockedNow(folder, workshop, ingredientsOf(formula));
  const planned = planStock({
    workshop: now,
    formula,
    ingredient: options.stockSolution,
    carrier: options.carrier,
    size: sizeFrom(options),
    today: stamp(new Date()).slice(0, 10),
  });
  if (!planned.ok) throw new Ending(EXIT.failed, `${planned.why} Nothing was changed.`);
  const { stock } = planned;
  tell(stock, days);
  if (!options.write) {
    print(`To write the formulas and the ingredient, say it again with --write. Nothing was changed.`);
    return EXIT.done;
  }
  write(folder, id, formula, stock, days);
  return EXIT.done;
}

function unknown(word: string, known: Iterable<string>): never {
  const near = nearest(word, [...known]);
  throw new Ending(
    EXIT.wrongUse,
    `The workshop has no ingredient "${cleanText(word)}".${near === undefined ? '' : ` Did you mean ${cleanText(near)}?`}`,
  );
}

function tell(stock: StockPlan, days: number): void {
  const { ingredient, carrier, strength, needed, making, makingPlan, using } = stock;
  const vessel = making.phases[0]?.vessel ?? '';
  const name = makingPlan.vessels[vessel]?.name ?? vessel;
  print(`A ${strength} stock solution of ${ingredient.name} in ${carrier.name}:`);
  for (const task of makingPlan.tasks) {
    if (task.kind === 'draw') {
      print(
        `  ${grams(task.target)} of ${task.name}, ${task.way} on the ${task.scale} scale (${grams(task.low)} to ${grams(task.high)})`,
      );
    }
  }
  print(
    `  makes ${grams(makingPlan.mass)} in ${name}, good for ${days === 1 ? 'the day it is made' : `${days} days`} (--good-for)`,
  );
  print(`A batch of ${using.name} takes ${grams(needed)} of it, and so much less of ${carrier.name}:`);
  for (const item of using.phases.flatMap(({ work }) => work)) {
    if (item.kind === 'draw' && (item.ingredient === carrier.id || item.ingredient === stock.stock.id)) {
      print(`  ${item.ingredient}: ${printPercent(item.share)}`);
    }
  }
}

/** All three texts are read back before the first is written. */
function write(folder: string, id: string, formula: Formula, stock: StockPlan, days: number): void {
  const shopFile = join(folder, WORKSHOP_FILE);
  const byHand = (what: string, why: string) =>
    new Ending(EXIT.failed, `${what} ${why}: change it by hand, by the shares above. Nothing was changed.`);
  const unusual = 'is written in an unusual way';
  const shopText = workshopText(readText(shopFile), stock);
  const shop = shopText === undefined ? undefined : readWorkshop(shopFile, shopText);
  if (shopText === undefined || !shop?.ok) throw byHand(WORKSHOP_FILE, unusual);
  const made = makingText(stock, days);
  const changed = usingText(readText(formulaFileOf(folder, id)), stock);
  const makingFile = join(folder, 'formulas', `${stock.stock.id}.yaml`);
  const usingFile = join(folder, 'formulas', `${formula.id}-from-stock.yaml`);
  const named = `The formula ${cleanText(id)}`;
  if (!changed.ok) throw byHand(named, changed.why);
  const { text: used } = changed;
  const reads = readFormula(usingFile, used, shop.workshop);
  if (!reads.ok || !isSame(reads.formula, stock.using)) throw byHand(named, unusual);
  const making = readFormula(makingFile, made, shop.workshop);
  if (!making.ok) throw byHand('The formula of the stock', unusual);
  for (const file of [makingFile, usingFile]) {
    if (existsSync(file)) throw new Ending(EXIT.failed, `${cleanText(file)} is there already. Nothing was changed.`);
  }
  writeWhole(shopFile, shopText, true);
  writeNew(makingFile, made);
  writeNew(usingFile, used);
  print(`Written: ${cleanText(makingFile)}, ${cleanText(usingFile)}, and ${stock.stock.id} in ${WORKSHOP_FILE}.`);
  print(
    `Make it: ${hint(`weigh ${stock.stock.id}`, folder)}. Then enter it as a lot, by the batch's name and with its last day:`,
  );
  print(
    `  ${hint(`lot receive ${stock.stock.id} LOT ${grams(stock.makingPlan.mass, 0).replace(' ', '')} --expires DAY --made-in BATCH`, folder)}`,
  );
}

/** The same draws with the same shares and bands. */
function isSame(a: Formula, b: Formula): boolean {
  const draws = (formula: Formula) =>
    formula.phases.map(({ work }) =>
      work.map((item) => (item.kind === 'draw' ? [item.ingredient, item.share, item.tolerance] : item.say)),
    );
  return JSON.stringify(draws(a)) === JSON.stringify(draws(b));
}
