/** The commands about lots, stock and cost. */
import { type Command, Option } from 'commander';
import type { ExitCode } from '../exit.ts';
import type { CostOptions } from '../records/cost.ts';
import { allBenches } from '../shared/sharedCommands.ts';
import type { ReceiveOptions } from './lot.ts';
import type { StockOptions } from './stock.ts';
import type { TakeOptions } from './stockTake.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

const inFolder = () => new Option('--in <folder>', "the workshop's folder").default('.');
const by = () => new Option('--by <name>', 'who does it');

export function addStockCommands(program: Command, run: Run): void {
  const lot = program.command('lot').description('deliveries of ingredients');
  lot
    .command('receive')
    .description('enter a delivery')
    .argument('<ingredient>')
    .argument('[lot]', 'a code of your own, such as GL-31')
    .argument('[amount]', 'weight of the content, such as 5kg')
    .option('--price <number>', 'price of a kilogram')
    .option('--expires <day>', 'last day of use, such as 2027-01-31')
    .option('--supplier-lot <code>', "the code on the supplier's label")
    .option('--certificate <file>', 'file name of its certificate')
    .option('--jar <vessel>', 'the vessel of the workshop that it is kept in')
    .option('--made-in <batch>', 'a stock of your own: the batch that it was made in')
    .option('--label <text>', 'its label as scanned or typed (GS1): lot, last day and net weight are taken from it')
    .addOption(by())
    .addOption(inFolder())
    .action((ingredient: string, code: string | undefined, amount: string | undefined, options: ReceiveOptions) =>
      run(async () => (await import('./lot.ts')).receive(ingredient, code, amount, options)),
    );
  for (const [name, does, what] of [
    ['block', 'lot-blocked', 'no batch may use it until it is released'],
    ['unblock', 'lot-released', 'batches may use it again'],
  ] as const) {
    lot
      .command(name)
      .description(what)
      .argument('<ingredient>')
      .argument('<lot>')
      .option('--why <text>', 'the reason')
      .addOption(by())
      .addOption(inFolder())
      .action((ingredient: string, code: string, options: { why?: string; by?: string; in: string }) =>
        run(async () => (await import('./lot.ts')).block(does, ingredient, code, options)),
      );
  }
  lot
    .command('next')
    .description('which lot to take: the one that expires first')
    .argument('<ingredient>')
    .argument('[amount]', 'how much is wanted, such as 850g')
    .addOption(inFolder())
    .action((ingredient: string, amount: string | undefined, options: { in: string }) =>
      run(async () => (await import('./lot.ts')).next(ingredient, amount, options)),
    );

  const stock = program
    .command('stock')
    .description('what is there')
    .argument('[ingredient]')
    .option('--all', 'lots that are used up too')
    .option('--json', 'for other programs')
    .option('--rebuild', 'count it anew from all facts first')
    .addOption(allBenches())
    .addOption(inFolder())
    .action((ingredient: string | undefined, options: StockOptions) =>
      run(async () => (await import('./stock.ts')).stock(ingredient, options)),
    );
  stock
    .command('take')
    .description('weigh a jar, and put the book right by the difference')
    .argument('<ingredient>')
    .argument('<lot>')
    .option('--gross <mass>', 'the jar with its content, without its lid')
    .option('--scale <name>', 'put it on this scale instead')
    .option('--tare <mass>', 'the jar clean and empty, where the workshop file does not say')
    .option('--why <text>', 'the reason')
    .addOption(by())
    .addOption(inFolder())
    .action((ingredient: string, code: string, options: TakeOptions, command: Command) => {
      // `bismar stock --in FOLDER take` is `bismar stock take --in FOLDER`.
      const isSaid = command.getOptionValueSource('in') === 'default' && stock.getOptionValueSource('in') === 'cli';
      const given = isSaid ? { ...options, in: String(stock.getOptionValue('in')) } : options;
      return run(async () => (await import('./stockTake.ts')).take(ingredient, code, given));
    });

  program
    .command('cost')
    .description('what a batch has cost in material, or a formula would; of each bar too')
    .argument('[batch|formula]')
    .option('--bars <n>', 'of a formula: so many bars')
    .option('--mass <mass>', 'of a formula: so much in all')
    .option('--json', 'for other programs')
    .addOption(allBenches())
    .addOption(inFolder())
    .action((of: string | undefined, options: CostOptions) =>
      run(async () => (await import('../records/cost.ts')).cost(of, options)),
    );

  for (const command of [...lot.commands, ...stock.commands]) command.exitOverride();
}
